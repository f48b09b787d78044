package folder

import (
	"strings"
	"testing/fstest"

	"aplomb/internal/practice"
)

// base is a small library, just enough to refer to.
func base() *practice.Library {
	drill := func(id string) practice.Drill {
		return practice.Drill{ID: id, Name: id, Purpose: "w", Setup: "s", Criterion: "c", Component: "balance",
			Kind: practice.Skill, Support: practice.Open, Measure: practice.HoldFor, SetMinutes: 1, MinSets: 1, MaxSets: 3,
			DifficultySD: 1, Strains: []practice.Strain{practice.Inverted, practice.HandLoad}, Source: "invented"}
	}
	return &practice.Library{
		Version:    "test",
		Components: []practice.ComponentInfo{{Name: "balance"}, {Name: "wrists"}, {Name: "tension"}},
		Drills:     []practice.Drill{drill("open-try"), drill("cold-try"), drill("toe-pull"), drill("wall-line")},
		Probes: []practice.Probe{
			{ID: "hollow-hold", Component: "tension", Unit: "s", Min: 0, Max: 300, Link: practice.Linear},
			{ID: "wrist-angle", Component: "wrists", Unit: "deg", Min: 20, Max: 110, Link: practice.Linear},
			{ID: "kick-ups", Component: "balance", Unit: "passes", Min: 0, Max: 10, N: 10, Link: practice.OfN},
		},
	}
}

// sample is a sound studio of two students, file by file.
var sample = map[string]string{
	"studio.json": `{
  "format": 3,
  "id": "millgate",
  "name": "Millgate Hall",
  "time_zone": "Europe/London",
  "milestones_s": [1, 3, 5, 10, 15, 30, 60]
}
`,
	"students.json": `[
  {
    "id": "ada",
    "name": "Ada Fenwick",
    "born": "1991-05-17",
    "height_m": 1.68,
    "mass_kg": 61.5,
    "time_zone": "Europe/Paris",
    "goal": "15 s on the first try of the day",
    "goal_on": "2026-09-30",
    "lead_leg": "left",
    "exit_side": "right",
    "tips_over_fear": 4,
    "kit": ["wall", "mat"],
    "sessions": [
      {"day": "tue", "start": "18:30", "minutes": 30, "rides_on": "commute"},
      {"day": "sat", "minutes": 60}
    ],
    "minutes_off": [{"from": "2026-04-04", "to": "2026-04-12", "reason": "holiday"}],
    "stops": [{"no": ["inverted"], "since": "2026-01-02", "cleared_on": "2026-02-01", "cleared_by": "clinician"}],
    "restrictions": [{"site": "wrist", "no": ["hand_load"], "since": "2026-03-01", "until": "2026-03-08"}],
    "group": "tuesday",
    "coach": "ines"
  },
  {"id": "ben", "name": "Ben Ollerton", "guardian": "R. Ollerton"}
]
`,
	"attempts.csv": `id,student,at,session,drill,set,rep,entry,support,surface,place,passed,seconds,timed,end,cold,note
a1,ada,2026-03-03T18:40:00+01:00,s1,cold-try,1,1,kick,open,floor,hall,true,2.5,stopwatch,over,true,
a2,ada,2026-03-03T18:42:30+01:00,s1,open-try,2,1,tuck,open,floor,hall,false,0.4,counted,under,,"said ""wobbly"", then
laughed"
a3,ben,2026-03-04T07:00:00Z,,toe-pull,,,,,,,true,,,,,
`,
	"tallies.csv": `id,student,at,session,drill,set,entry,support,surface,place,tries,caught,best,second_best,timed,note,item
t1,ada,2026-03-03T18:50:00+01:00,s1,open-try,3,kick,open,floor,hall,10,4,3.2,2,counted,,i1
`,
	"sessions.csv": `id,student,at,week,version,day,form,minutes,effort,pain_site,pain_before,pain,pain_next_morning,numb,swollen,note
s1,ada,2026-03-03T19:05:00+01:00,2026-W10,1,tue,tired,32,6,wrist,0,1,0,true,false,
`,
	"probes.csv": `id,student,at,component,test,value,unit,by
p1,ada,2026-03-02T10:00:00+01:00,tension,hollow-hold,41.5,s,coach
p2,ben,2026-03-02T10:00:00Z,,kick-ups,6,passes,
`,
	"marks.csv": `id,student,at,drill,mark,cue
m1,ada,2026-03-03T19:06:00+01:00,toe-pull,helped,
`,
	"words.csv": `id,student,at,session,drill,set,keep,next
w1,ada,2026-03-03T18:55:00+01:00,s1,open-try,3,"eyes still, then toes",
w2,ada,2026-03-04T07:05:00Z,,toe-pull,,,slower
`,
	"detours.csv": `id,student,at,week,version,day,session,what,to,drill,for,reason
d1,ada,2026-03-03T18:00:00+01:00,2026-W10,1,tue,0,swapped,,toe-pull,wall-line,
d2,ada,2026-03-06T09:00:00+01:00,2026-W10,,sat,,moved,sun,,,rain
d3,ada,2026-03-08T21:00:00+01:00,2026-W10,1,sun,1,skipped,,,,
`,
	"receipts.csv": `id,student,phone,kind,n,gone,at,shift_seconds,alarms
a1,ada,k3,try,1,,2026-03-03T18:40:00.25+01:00,,
s1,ada,k3,session,3,,2026-03-03T12:05:00+01:00,25200,pain numb
x1,ada,k4,mark,2,true,2026-03-04T08:00:00Z,-3600,
`,
	"weeks.jsonl": `{"student":"ada","iso_week":"2026-W10","version":1,"status":"handed-over","as_of":"2026-03-01","handed_at":"2026-03-01T20:00:00Z","library":"1","model":"1","seed":7,"problem":{"x":[1,2]},"sessions":[{"day":"tue","start":"18:30","minutes":30,"blocks":[{"kind":"prep","minutes":5,"items":[{"id":"i1","drill":"toe-pull","name":"Toe pull","sets":2,"reps":5,"seconds":3,"rest_seconds":30,"minutes":5,"hand_minutes":1,"cue":"press","why":"balance","choice":{"among":["toe-pull","wall-line"],"probability":0.5}}]}]}]}
`,
	"people.json": `[
  {"id": "ines", "name": "Ines Marlow", "email": "ines@millgate.example", "role": "owner", "since": "2019-09-01"},
  {"id": "jonas", "name": "Jonas Reith", "email": "jonas@millgate.example", "role": "coach", "since": "2024-01-08"},
  {"id": "mika", "name": "Mika Thole", "role": "assistant", "since": "2025-02-01", "left": "2026-02-01"}
]
`,
	"guardians.json": `[
  {"id": "r-ollerton", "name": "R. Ollerton", "email": "r@ollerton.example", "students": ["ben"]}
]
`,
	"covers.json": `[
  {"id": "easter", "for": "ines", "by": "jonas", "from": "2026-04-01", "to": "2026-04-07"},
  {"id": "one", "for": "ines", "by": "jonas", "student": "ada", "from": "2026-05-01", "to": "2026-05-01"}
]
`,
	"notes.jsonl": `{"id":"n1","student":"ada","at":"2026-03-03T20:00:00Z","by":"ines","kind":"lesson","minutes":45,"text":""}
{"id":"n2","student":"ada","at":"2026-01-02T09:00:00Z","by":"ines","kind":"stop","health":true,"text":"Dizzy on the way down.\nSaw a clinician."}
`,
	"consents.jsonl": `{"id":"c1","student":"ada","for":"health-notes","at":"2026-01-02T08:50:00Z","by":"ada","role":"student"}
{"id":"c2","student":"ben","for":"clips","at":"2026-01-05T08:00:00Z","by":"r-ollerton","role":"guardian","withdrawn":"2026-02-05T08:00:00Z"}
`,
	"decisions.jsonl": `{"student":"ada","kind":"muddy","about":"toe-pull on 2026-03-03","answer":"done","by":"ines","at":"2026-03-04T09:00:00Z"}
{"student":"ada","kind":"thin","about":"","answer":"muted","reason":"Six drills, for a reason.","by":"ines","at":"2026-03-04T09:01:00Z"}
{"student":"ben","kind":"thin","about":"four weeks 733","answer":"postponed","until":"2026-03-18","by":"jonas","at":"2026-03-04T09:02:00+01:00"}
`,
	"changes.jsonl": `{"id":"h1","at":"2026-01-02T09:00:00Z","by":"ines","role":"owner","act":"added","noun":"note","student":"ada","key":"n2","after":{"id":"n2"}}
{"id":"h2","at":"2026-03-03T20:00:00Z","by":"ada","role":"student","act":"added","noun":"attempt","student":"ada","rows":2}
{"id":"h3","at":"2026-03-04T20:00:00Z","by":"desk","role":"machine","act":"erased","noun":"student"}
`,
	"locks.json": `[
  {"student": "ada", "week": "2026-W15", "locks": [{"drill": "toe-pull", "sets": 3}], "bans": ["wall-line"], "minutes_share": 0.7, "reason": "travel",
   "cues": [{"drill": "toe-pull", "text": "Toes to the shins."}], "moves": [{"from": "tue", "to": "wed"}, {"from": "sat", "to": "sun"}]},
  {"group": "tuesday", "bans": ["wall-line"]}
]
`,
	"drills.json": `[
  {
    "id": "plank",
    "name": "Long plank",
    "purpose": "A straight body on the forearms.",
    "setup": "A mat.",
    "cues": [{"id": "ribs", "kind": "feel", "text": "Ribs to hips."}],
    "criterion": "30 s without the hips dropping",
    "component": "tension",
    "kind": "strength",
    "support": "floor",
    "measure": "hold",
    "seconds": 30,
    "set_minutes": 1.5,
    "setup_minutes": 0,
    "hand_minutes": 0,
    "min_sets": 2,
    "max_sets": 4,
    "week_sets": 4,
    "difficulty": -1,
    "difficulty_sd": 1,
    "kit": ["mat"],
    "needs": [{"any": [{"drill": "toe-pull", "passes": 3}, {"test": "hollow-hold", "value": 20}]}],
    "source": "invented"
  }
]
`,
}

// with is the sample with some files changed; an empty text takes a file away.
func with(changes map[string]string) fstest.MapFS {
	fsys := fstest.MapFS{}
	for name, text := range sample {
		fsys[name] = &fstest.MapFile{Data: []byte(text)}
	}
	for name, text := range changes {
		delete(fsys, name)
		if text != "" {
			fsys[name] = &fstest.MapFile{Data: []byte(text)}
		}
	}
	return fsys
}

// changed is a sample file with the first old replaced.
func changed(file, old, new string) map[string]string {
	if !strings.Contains(sample[file], old) {
		panic("the sample " + file + " has no " + old)
	}
	return map[string]string{file: strings.Replace(sample[file], old, new, 1)}
}

// sampleKnown is what the files of the sample may name.
func sampleKnown() *known {
	k := newKnown(base())
	for _, id := range []string{"ada", "ben"} {
		k.students.add(id)
	}
	for _, id := range []string{"ines", "jonas", "mika"} {
		k.people.add(id)
	}
	k.groups.add("tuesday")
	k.weeks.add(weekKey("ada", "2026-W10"))
	return k
}
