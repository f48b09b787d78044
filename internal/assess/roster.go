package assess

import (
	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// Enough is the status of a row that says enough to be told.
const Enough = skill.Enough

// Learned is what the logs of a studio's students say together. Logits and what
// they mean are in the library's terms; every number has its 80% interval, and
// every row says how far the logs tell it.
type Learned struct {
	AsOf         practice.Date     `json:"as_of"`
	Students     int               `json:"students"`
	Level        float64           `json:"level"` // of every interval
	Uses         []DrillUse        `json:"uses"`
	Difficulties []DrillDifficulty `json:"difficulties"`
	Effects      []DrillEffect     `json:"effects"`
	Marks        Marks             `json:"marks"`
	Milestones   []MilestoneTold   `json:"milestones"`
	CannotTell   []Open            `json:"cannot_tell"`
}

// Told is an estimate with its interval.
type Told struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
	Lo   float64 `json:"lo"`
	Hi   float64 `json:"hi"`
}

func toldOf(l skill.Learned) Told { return Told{l.Mean, l.SD, l.Lo, l.Hi} }

// roster is a studio's logs, read once.
type roster struct {
	lib    *practice.Library
	place  map[practice.Component]int
	at     []skill.Component
	asOf   practice.Date
	pupils []pupil
}

// pupil is one student's log with the standing it led to.
type pupil struct {
	*Subject
	standing *Standing
	clock    Clock
	items    []item
	months   []snapshot
}

// Learn learns across the subjects, who share a library and a day, from their
// logs and their standings on that day, one each in the same order. The error is
// that of a fit that does not settle.
func Learn(subjects []Subject, standings []Standing) (Learned, error) {
	if len(subjects) != len(standings) {
		panic("assess: one standing a subject")
	}
	out := Learned{Students: len(subjects), Level: skill.RosterLevel, Uses: []DrillUse{}, Difficulties: []DrillDifficulty{}, Effects: []DrillEffect{},
		Marks: noMarks(), Milestones: []MilestoneTold{}, CannotTell: []Open{}}
	if len(subjects) == 0 {
		return out, nil
	}
	r := newRoster(subjects, standings)
	out.AsOf = r.asOf
	out.Uses = r.uses()
	var err error
	if out.Difficulties, err = r.difficulties(); err != nil {
		return out, err
	}
	out.Effects = r.effects()
	out.Marks = r.marks()
	if out.Milestones, err = r.milestones(); err != nil {
		return out, err
	}
	out.CannotTell = r.open(out.Effects)
	return out, nil
}

func newRoster(subjects []Subject, standings []Standing) *roster {
	lib := subjects[0].Library
	r := &roster{lib: lib, place: map[practice.Component]int{}, asOf: subjects[0].AsOf}
	for i, info := range lib.Components {
		noise := skill.MotorNoise
		if info.Capacity {
			noise = skill.CapacityNoise
		}
		r.at = append(r.at, skill.Component{Mean: info.PriorLogit, SD: skill.IntakeSD, Noise: noise})
		r.place[info.Name] = i
	}
	ix := indexDrills(lib)
	for i := range subjects {
		s := &subjects[i]
		clock := s.clock()
		p := pupil{Subject: s, standing: &standings[i], clock: clock, items: timeline(lib, ix, s.Log, s.AsOf, clock)}
		tests := testsOf(s, clock)
		e := newEstimator(s, fear(s, tests))
		e.keep = true
		e.follow(p.items, tests, s.AsOf)
		e.rest()
		p.months = e.months
		r.pupils = append(r.pupils, p)
	}
	return r
}

// tests are the floor tests up to the day.
func (p *pupil) tests() (out []practice.ProbeResult) {
	for _, t := range p.Log.Probes {
		if p.clock(t.At) <= p.AsOf {
			out = append(out, t)
		}
	}
	return out
}
