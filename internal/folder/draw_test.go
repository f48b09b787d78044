package folder

import (
	"encoding/json"
	"math"
	"strings"
	"unicode"

	"pgregory.net/rapid"

	"aplomb/internal/practice"
)

// drawStudio draws a studio with something of every noun.
func drawStudio(t *rapid.T) *Studio {
	zone, _ := practice.ParseZone(rapid.SampledFrom([]string{"UTC", "Europe/London", "Asia/Kathmandu"}).Draw(t, "zone"))
	s := &Studio{Library: base(), Logs: map[string]*practice.Log{}, Notes: map[string][]practice.Note{},
		Consents: map[string][]practice.Consent{}, Decisions: map[string][]practice.Decision{}, Receipts: map[string][]practice.Receipt{}}
	s.Studio = practice.Studio{Format: Format, ID: "millgate", Name: "x" + drawText(t), Zone: zone,
		Shares: rapid.Bool().Draw(t, "shares"), ConsentAge: rapid.SampledFrom([]int{0, 13, 18}).Draw(t, "age")}
	people := drawIDs(t, "people", 0, 3)
	for i, id := range people {
		s.People = append(s.People, drawPerson(t, id, i))
	}
	students := drawIDs(t, "students", 1, 3)
	for _, id := range students {
		student := practice.Student{ID: id, Name: "y" + drawText(t), Zone: zone, Goal: drawText(t), Born: drawDay(t),
			HeightM: rapid.SampledFrom([]float64{0, 1.5, 1.73205}).Draw(t, "height")}
		if len(people) > 0 {
			student.Coach = rapid.SampledFrom(append(people, "")).Draw(t, "coach")
		}
		s.Students = append(s.Students, student)
		s.Logs[id] = drawLog(t, id)
		s.drawRest(t, id)
	}
	s.drawAround(t, people, students)
	return s
}

func drawIDs(t *rapid.T, label string, least, most int) []string {
	return rapid.SliceOfNDistinct(rapid.StringMatching(`[A-Za-z0-9_-]{1,12}`), least, most, rapid.ID[string]).Draw(t, label)
}

func drawPerson(t *rapid.T, id string, i int) practice.Person {
	p := practice.Person{ID: id, Name: "p" + drawText(t), Role: rapid.SampledFrom(practice.StaffRoles).Draw(t, "role"), Since: -30000, Left: drawDay(t)}
	if rapid.Bool().Draw(t, "email") {
		p.Email = string(rune('a'+i)) + "@ellery.example"
	}
	return p
}

// drawAround draws what is of more than one: guardians, covers, wishes, a drill
// and the audit trail.
func (s *Studio) drawAround(t *rapid.T, people, students []string) {
	for _, id := range drawIDs(t, "guardians", 0, 2) {
		s.Guardians = append(s.Guardians, practice.Guardian{ID: id, Name: "g" + drawText(t),
			Students: rapid.SliceOf(rapid.SampledFrom(students)).Draw(t, "wards")})
	}
	if len(people) > 1 {
		s.Covers = append(s.Covers, practice.Cover{ID: drawID(t), For: people[0], By: people[1],
			Student: rapid.SampledFrom(append(students, "")).Draw(t, "covered"), From: 20000, To: 20007})
	}
	if rapid.Bool().Draw(t, "wish") {
		s.Wishes = append(s.Wishes, practice.Wish{Student: students[0], Bans: []string{"wall-line"}, Reason: drawText(t),
			Cues: drawCues(t), Moves: rapid.SampledFrom([][]practice.WishMove{nil, {{From: 1, To: 2}}, {{From: 0, To: 6}, {From: 6, To: 0}}}).Draw(t, "moves")})
	}
	if rapid.Bool().Draw(t, "drill") {
		if err := json.Unmarshal([]byte(sample["drills.json"]), &s.Own); err != nil {
			t.Fatal(err)
		}
		s.Own[0].Name, s.Own[0].Purpose = "o"+drawText(t), "w"+drawText(t)
		s.Library.Drills = append(s.Library.Drills, s.Own...)
		s.Library.Version += " with the studio's own"
	}
	for range rapid.IntRange(0, 3).Draw(t, "changes") {
		s.Changes = append(s.Changes, drawChange(t))
	}
}

func drawCues(t *rapid.T) (cues []practice.WishCue) {
	for _, drill := range []string{"toe-pull", "wall-line"}[:rapid.IntRange(0, 2).Draw(t, "cues")] {
		line := rapid.StringOfN(rapid.RuneFrom(nil, unicode.L, unicode.P, unicode.Zs), 1, 120, -1)
		cues = append(cues, practice.WishCue{Drill: drill, Text: line.Draw(t, "text")})
	}
	return cues
}

func drawChange(t *rapid.T) practice.Change {
	return practice.Change{ID: drawID(t), At: drawInstant(t), By: drawText(t), Role: rapid.SampledFrom(practice.Roles).Draw(t, "role"),
		Act: rapid.SampledFrom(practice.Acts).Draw(t, "act"), Noun: rapid.SampledFrom(practice.Nouns).Draw(t, "noun"),
		Student: drawText(t), Key: drawText(t), Rows: rapid.IntRange(0, 9).Draw(t, "rows"), Before: drawJSON(t), After: drawJSON(t)}
}

func drawJSON(t *rapid.T) json.RawMessage {
	if !rapid.Bool().Draw(t, "any") {
		return nil
	}
	raw, err := json.Marshal(map[string]any{"text": drawText(t), "list": []int{1, 2}, "none": nil})
	if err != nil {
		t.Fatal(err)
	}
	return raw
}

// drawRest draws what is kept of a student besides the log.
func (s *Studio) drawRest(t *rapid.T, student string) {
	for range rapid.IntRange(0, 2).Draw(t, "notes") {
		s.Notes[student] = append(s.Notes[student], practice.Note{ID: drawID(t), Student: student, At: drawInstant(t), By: "ines",
			Kind: rapid.SampledFrom(practice.NoteKinds).Draw(t, "kind"), Minutes: drawNumber(t, 600).Value,
			Health: rapid.Bool().Draw(t, "health"), Text: "n" + rapid.String().Draw(t, "text")})
		if n := &s.Notes[student][len(s.Notes[student])-1]; n.Kind == practice.LessonNote && !n.Health {
			n.Next = drawText(t)
		}
	}
	for range rapid.IntRange(0, 2).Draw(t, "consents") {
		c := practice.Consent{ID: drawID(t), Student: student, For: rapid.SampledFrom(practice.Purposes).Draw(t, "for"),
			At: drawInstant(t), By: "maren", Role: practice.AsGuardian}
		if rapid.Bool().Draw(t, "withdrawn") {
			later := c.At
			later.UnixNano += 1e12
			c.Withdrawn = &later
		}
		s.Consents[student] = append(s.Consents[student], c)
	}
	for range rapid.IntRange(0, 2).Draw(t, "receipts") {
		s.Receipts[student] = append(s.Receipts[student], practice.Receipt{ID: drawID(t), Student: student, Phone: "k1", At: drawInstant(t),
			Kind: rapid.SampledFrom(practice.EntryKinds).Draw(t, "kind"), N: rapid.IntRange(0, 9).Draw(t, "n"), Gone: rapid.Bool().Draw(t, "gone"),
			Shift: rapid.IntRange(-1<<40, 1<<40).Draw(t, "shift"), Alarms: practice.Alarms(rapid.IntRange(0, 31).Draw(t, "alarms"))})
	}
	for _, kind := range drawIDs(t, "kinds", 0, 3) {
		s.Decisions[student] = append(s.Decisions[student], practice.Decision{Student: student, Kind: kind, About: drawText(t),
			Answer: rapid.SampledFrom(practice.Answers).Draw(t, "answer"), Until: drawUntil(t), Reason: "r" + drawText(t), By: "ines", At: drawInstant(t)})
	}
}

func drawUntil(t *rapid.T) *practice.Date {
	day := practice.Date(rapid.IntRange(-25000, 80000).Draw(t, "until"))
	return &day
}

func drawWeek(t *rapid.T, student string, version int) practice.Week {
	return practice.Week{Student: student, ISOWeek: practice.Date(20000).Week(), Version: version,
		Status: rapid.SampledFrom(practice.WeekStatuses[1:]).Draw(t, "status"), AsOf: 19990, Seed: rapid.Uint64().Draw(t, "seed"),
		Tests: []practice.PlannedTest{{Day: 1, Test: "hollow-hold", Name: drawText(t), Minutes: 2, Worth: 0.04, Cost: drawNumber(t, 1).Value,
			Between: []practice.Component{"line", "tension"}}},
		Problem: drawJSON(t), Sessions: []practice.PlannedSession{{Day: 1, Minutes: drawNumber(t, 600).Value, Blocks: []practice.Block{
			{Kind: practice.PrepBlock, Items: []practice.Item{{ID: "a", Drill: "toe-pull", Cue: drawText(t), Minutes: 3}}}}}}}
}

func drawLog(t *rapid.T, student string) *practice.Log {
	log := &practice.Log{}
	for range rapid.IntRange(0, 3).Draw(t, "attempts") {
		log.Attempts = append(log.Attempts, drawAttempt(t, student, drawID(t)))
	}
	for range rapid.IntRange(0, 2).Draw(t, "tallies") {
		log.Tallies = append(log.Tallies, practice.Tally{ID: drawID(t), Student: student, At: drawInstant(t), Drill: "toe-pull",
			Tries: rapid.IntRange(5, 500).Draw(t, "tries"), Caught: practice.Known(rapid.IntRange(0, 5).Draw(t, "caught")),
			Best: drawNumber(t, practice.MaxHoldS), Note: drawText(t)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "sessions") {
		log.Sessions = append(log.Sessions, practice.Session{ID: drawID(t), Student: student, At: drawInstant(t),
			Form: rapid.SampledFrom(append(practice.Forms, "")).Draw(t, "form"), Numb: practice.Known(rapid.Bool().Draw(t, "numb")),
			Day:     practice.Known(practice.Weekday(rapid.IntRange(0, 6).Draw(t, "day"))),
			Minutes: drawNumber(t, 600), Effort: drawNumber(t, 10), Pain: drawNumber(t, 10), Note: drawText(t)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "probes") {
		log.Probes = append(log.Probes, practice.ProbeResult{ID: drawID(t), Student: student, At: drawInstant(t),
			Component: "tension", Test: "hollow-hold", Value: drawNumber(t, 300).Value, Unit: "s", By: drawText(t)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "marks") {
		log.Marks = append(log.Marks, practice.DrillMark{ID: drawID(t), Student: student, At: drawInstant(t), Drill: "wall-line",
			Mark: rapid.SampledFrom(practice.Marks).Draw(t, "mark")})
	}
	for range rapid.IntRange(0, 2).Draw(t, "words") {
		log.Words = append(log.Words, practice.SetWords{ID: drawID(t), Student: student, At: drawInstant(t), Drill: "wall-line",
			Set: rapid.IntRange(0, 500).Draw(t, "set"), Keep: "k" + drawLine(t), Next: drawLine(t)})
	}
	for range rapid.IntRange(0, 2).Draw(t, "detours") {
		log.Detours = append(log.Detours, practice.Detour{ID: drawID(t), Student: student, At: drawInstant(t), Week: "2026-W23", Version: rapid.IntRange(0, 3).Draw(t, "version"),
			Day: practice.Weekday(rapid.IntRange(0, 6).Draw(t, "day")), Session: rapid.IntRange(0, 9).Draw(t, "session"), What: practice.Swapped,
			Drill: "toe-pull", For: "gone-long-ago", Reason: drawLine(t)})
	}
	for version := range rapid.IntRange(0, 2).Draw(t, "weeks") {
		log.Weeks = append(log.Weeks, drawWeek(t, student, 10+version))
	}
	log.Sort()
	return log
}

func drawDay(t *rapid.T) *practice.Date {
	if !rapid.Bool().Draw(t, "known") {
		return nil
	}
	day := practice.Date(rapid.IntRange(-25000, 20000).Draw(t, "day"))
	return &day
}

// drawID draws from so many that a draw does not meet the same one twice.
func drawID(t *rapid.T) string { return rapid.StringMatching(`[a-z0-9]{24}`).Draw(t, "id") }

func drawAttempt(t *rapid.T, student, id string) practice.Attempt {
	return practice.Attempt{ID: id, Student: student, At: drawInstant(t), Drill: "toe-pull",
		Set: rapid.IntRange(0, 500).Draw(t, "set"), Rep: rapid.IntRange(0, 500).Draw(t, "rep"),
		Entry:   rapid.SampledFrom(append(practice.Entries, "")).Draw(t, "entry"),
		Surface: rapid.SampledFrom(append(practice.Surfaces, "")).Draw(t, "surface"),
		End:     rapid.SampledFrom(append(practice.Ends, "")).Draw(t, "end"),
		Witness: rapid.SampledFrom(append(practice.Witnesses, "")).Draw(t, "witness"),
		Place:   drawText(t), Note: drawText(t), Seconds: drawNumber(t, practice.MaxHoldS),
		Passed: practice.Maybe[bool]{Value: false, Known: rapid.Bool().Draw(t, "known")},
	}
}

func drawNumber(t *rapid.T, most float64) practice.Maybe[float64] {
	if rapid.Bool().Draw(t, "known") {
		return practice.Known(math.Abs(rapid.Float64Range(0, most).Draw(t, "number")))
	}
	return practice.Maybe[float64]{}
}

func drawInstant(t *rapid.T) practice.Instant {
	return practice.Instant{UnixNano: rapid.Int64Range(-2e18, 7e18).Draw(t, "ns"), Offset: int16(rapid.IntRange(-23*60-59, 23*60+59).Draw(t, "offset"))}
}

// drawLine is a text of one line.
func drawLine(t *rapid.T) string {
	return rapid.StringOfN(rapid.RuneFrom(nil, unicode.L, unicode.P, unicode.Zs), 0, practice.MaxLine, -1).Draw(t, "line")
}

// drawText is any text a cell can keep: a CR LF becomes LF.
func drawText(t *rapid.T) string {
	return strings.ReplaceAll(rapid.String().Draw(t, "text"), "\r\n", "\n")
}
