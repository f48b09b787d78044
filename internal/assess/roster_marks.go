package assess

import (
	"cmp"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// Marks is what students said of drills and of cues.
type Marks struct {
	All    SaidOf   `json:"all"`
	Drills []SaidOf `json:"drills"` // those somebody was asked about
	Cues   []SaidOf `json:"cues"`   // those somebody named
}

// SaidOf is what students said of one drill or one cue of it, a voice each: the
// latest mark. Neither is a student who did the drill on a day they marked
// another, and never marked it.
type SaidOf struct {
	Drill     string         `json:"drill,omitempty"`
	Cue       string         `json:"cue,omitempty"`
	Helped    int            `json:"helped"`
	Neither   int            `json:"neither"`
	Confusing int            `json:"confusing"`
	Helps     Proportion     `json:"helps"`    // shrunk to what drills, or cues, do
	Confuses  Proportion     `json:"confuses"` // likewise
	Status    skill.Evidence `json:"status"`
}

// Proportion is a share with its interval.
type Proportion struct {
	P  float64 `json:"p"`
	Lo float64 `json:"lo"`
	Hi float64 `json:"hi"`
}

// Voices is how many students were heard.
func (s *SaidOf) Voices() int { return s.Helped + s.Neither + s.Confusing }

func noMarks() Marks { return Marks{Drills: []SaidOf{}, Cues: []SaidOf{}} }

// spoken is a drill, or with a cue one cue of it.
type spoken struct{ drill, cue string }

func (r *roster) marks() Marks {
	drills, cues := map[spoken]*SaidOf{}, map[spoken]*SaidOf{}
	for i := range r.pupils {
		p := &r.pupils[i]
		ofDrills, ofCues := p.voices()
		for d := range p.asked(r.lib) {
			if _, marked := ofDrills[spoken{d, ""}]; !marked {
				ofDrills[spoken{d, ""}] = ""
			}
		}
		hear(drills, ofDrills)
		hear(cues, ofCues)
	}
	out := noMarks()
	out.Drills, out.All = said(drills)
	out.Cues, _ = said(cues)
	return out
}

// voices is a student's latest mark of every drill and cue.
func (p *pupil) voices() (drills, cues map[spoken]practice.Mark) {
	drills, cues = map[spoken]practice.Mark{}, map[spoken]practice.Mark{}
	for _, m := range p.Log.Marks {
		if p.clock(m.At) > p.AsOf {
			continue
		}
		drills[spoken{m.Drill, ""}] = m.Mark
		if m.Cue != "" {
			cues[spoken{m.Drill, m.Cue}] = m.Mark
		}
	}
	return drills, cues
}

// asked is the drills a student did on days with a mark of any: the question was
// answered that day.
func (p *pupil) asked(lib *practice.Library) map[string]bool {
	days, out := map[practice.Date]bool{}, map[string]bool{}
	for _, m := range p.Log.Marks {
		days[p.clock(m.At)] = true
	}
	for i := range p.items {
		if it := &p.items[i]; it.drill >= 0 && days[it.day] {
			out[lib.Drills[it.drill].ID] = true
		}
	}
	return out
}

func hear(all map[spoken]*SaidOf, voices map[spoken]practice.Mark) {
	for of, mark := range voices {
		s := all[of]
		if s == nil {
			s = &SaidOf{Drill: of.drill, Cue: of.cue}
			all[of] = s
		}
		switch mark {
		case practice.Helped:
			s.Helped++
		case practice.Confusing:
			s.Confusing++
		default:
			s.Neither++
		}
	}
}

// said estimates the shares, the most heard first.
func said(all map[spoken]*SaidOf) (out []SaidOf, mean SaidOf) {
	out = []SaidOf{}
	for _, s := range all {
		out = append(out, *s)
	}
	slices.SortFunc(out, func(a, b SaidOf) int {
		return cmp.Or(b.Voices()-a.Voices(), b.Helped-a.Helped, cmp.Compare(a.Drill, b.Drill), cmp.Compare(a.Cue, b.Cue))
	})
	counts := make([]skill.Outcomes, len(out))
	for i, s := range out {
		counts[i] = skill.Outcomes{Helped: s.Helped, Neither: s.Neither, Confusing: s.Confusing}
		mean.Helped, mean.Neither, mean.Confusing = mean.Helped+s.Helped, mean.Neither+s.Neither, mean.Confusing+s.Confusing
	}
	fitted, pooled := skill.FitCues(counts)
	mean.fill(pooled)
	for i := range out {
		out[i].fill(fitted[i])
	}
	return out, mean
}

func (s *SaidOf) fill(c skill.Cue) {
	s.Helps, s.Confuses, s.Status = Proportion(c.Helped), Proportion(c.Confusing), c.Evidence
}
