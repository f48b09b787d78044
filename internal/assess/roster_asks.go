package assess

import (
	"math"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// FewCold is how many cold tries of the last weeks make a milestone that is not
// proven one that is not reached yet; with fewer nobody knows. A guess to edit.
const FewCold = 8

// MilestoneTold is what one milestone asks, as those show it who reached it and
// those who have not.
type MilestoneTold struct {
	Seconds float64   `json:"seconds"`
	Reached int       `json:"reached"` // students
	NotYet  int       `json:"not_yet"`
	Asks    []AskTold `json:"asks"`
}

// AskTold is what it asks of one component: in logits, and in the unit of the
// floor test of the library's table.
type AskTold struct {
	Component practice.Component `json:"component"`
	Test      string             `json:"test"`
	Table     float64            `json:"table"` // unit of the test
	Value     float64            `json:"value"` // unit of the test
	ValueLo   float64            `json:"value_lo"`
	ValueHi   float64            `json:"value_hi"`
	Guess     float64            `json:"guess"` // logit
	Told
	Taken  float64        `json:"doubt_taken_away"`
	Status skill.Evidence `json:"status"`
}

// milestones learns what every milestone of the library's table asks, the shortest
// first: each begins where the one before it leaves off.
func (r *roster) milestones() ([]MilestoneTold, error) {
	out := []MilestoneTold{}
	var before []skill.Asked
	var tableBefore []float64
	for _, m := range r.lib.Milestones {
		table := asks(r.lib, m.Seconds, r.place)
		fitted, err := skill.FitAsks(asksAfter(table, tableBefore, before), r.arrivals(m.Seconds))
		if err != nil {
			return nil, err
		}
		before, tableBefore = fitted.Components, table
		told := MilestoneTold{Seconds: m.Seconds, Asks: []AskTold{}}
		told.Reached, told.NotYet = r.reached(m.Seconds)
		for _, ask := range m.Asks {
			if p, ok := r.lib.Probe(ask.Test); ok {
				told.Asks = append(told.Asks, askTold(p, ask.Value, fitted.Components[r.place[p.Component]]))
			}
		}
		out = append(out, told)
	}
	return out, nil
}

// askStep is the sd of what a milestone asks more of a component than the one
// before it, beside what the table says of that, logits. A guess.
const askStep = 0.5

// asksAfter is what a milestone is taken to ask: the table's guess, moved by as
// much as the milestone before it was found to ask otherwise than the table said.
// Few reach the longest holds; what they ask is foretold from the shorter ones.
func asksAfter(table, tableBefore []float64, before []skill.Asked) []skill.AskGuess {
	out := make([]skill.AskGuess, len(table))
	for k, t := range table {
		out[k] = skill.AskGuess{Mean: t, SD: skill.AskDoubt}
		if before != nil && !math.IsInf(t, -1) && !math.IsInf(tableBefore[k], -1) {
			out[k].Mean += before[k].Mean - tableBefore[k]
			out[k].SD = min(skill.AskDoubt, math.Hypot(before[k].SD, askStep))
		}
	}
	return out
}

// reached counts the students of whom it is known that they hold so many seconds
// on demand, and those of whom it is known that they do not yet.
func (r *roster) reached(seconds float64) (reached, notYet int) {
	for i := range r.pupils {
		p := &r.pupils[i]
		switch {
		case p.standing.Milestone.ReachedSeconds >= seconds:
			reached++
		case provenNow(coldTries(p.items, seconds), p.AsOf).Tries >= FewCold:
			notYet++
		}
	}
	return reached, notYet
}

// monthTries is how many cold tries of one student and month count at the most:
// they share a level that is known only in part. A guess to edit.
const monthTries = 10

// arrivals is the cold tries at so many seconds of all students, month by month,
// with where the components stood then.
func (r *roster) arrivals(seconds float64) (out []skill.Arrival) {
	for i := range r.pupils {
		p := &r.pupils[i]
		tries := coldTries(p.items, seconds)
		for _, m := range p.months {
			n, passed := 0, 0
			for _, t := range tries {
				if day := practice.Date(t.Day); day > m.day-7*snapshotWeeks/2 && day <= m.day+7*snapshotWeeks/2 {
					n++
					if t.Passed {
						passed++
					}
				}
			}
			share := min(1, monthTries/float64(max(1, n)))
			for _, a := range []skill.Arrival{{Reached: true, Weight: share * float64(passed)}, {Weight: share * float64(n-passed)}} {
				if a.Weight > 0 {
					a.Student, a.Levels = i, m.levels
					out = append(out, a)
				}
			}
		}
	}
	return out
}

func askTold(p practice.Probe, table float64, a skill.Asked) AskTold {
	lo, hi := inUnits(p, a.Lo), inUnits(p, a.Hi)
	return AskTold{Component: p.Component, Test: p.ID, Table: table, Value: inUnits(p, a.Mean), ValueLo: min(lo, hi), ValueHi: max(lo, hi),
		Guess: p.Ability(table), Told: toldOf(a.Learned), Taken: a.Told, Status: a.Evidence}
}

// inUnits is the value of a floor test at an ability, kept to what the test can
// show.
func inUnits(p practice.Probe, logit float64) float64 {
	return min(max(ValueAt(p, logit), p.Min), p.Max)
}

// ValueAt is the inverse of a floor test's Ability: the value at which it is this,
// in the unit of the test, beyond what the test can show where need be.
func ValueAt(p practice.Probe, logit float64) float64 {
	if p.Link == practice.OfN {
		n := float64(p.N)
		return (n+1)/(1+math.Exp(p.Mid-logit)) - .5
	}
	return p.Mid + p.Scale*logit
}
