package assess

import (
	"math"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// DrillEffect is what a set of a drill gives its component, in logits, as the
// floor tests of all students show it together.
type DrillEffect struct {
	Drill     string             `json:"drill"`
	Component practice.Component `json:"component"`
	Test      string             `json:"test,omitempty"` // the floor test it is judged by
	// Group is null where it is not estimated; Status says why.
	Group    *Told          `json:"group"`
	Students int            `json:"students"` // who did it between two tests
	Sets     float64        `json:"sets"`     // theirs, between tests
	Status   skill.Evidence `json:"status"`
	With     []string       `json:"with,omitempty"` // together: the other drills
	Own      []OwnEffect    `json:"students_own,omitempty"`
}

// OwnEffect is how far a student is thought to differ from the group.
type OwnEffect struct {
	Student string `json:"student"`
	Told
	Weight float64 `json:"weight"` // of the student's own log in it, 0 to 1
}

// effects judges the drills of every component by the floor test of it that was
// taken most. The drills' own results are not used: getting better at a drill one
// practises is not yet getting better at what it is for. Free tries are other
// practice: they train many components.
func (r *roster) effects() []DrillEffect {
	out := []DrillEffect{}
	for k := range r.lib.Components {
		out = append(out, r.effectsOf(k)...)
	}
	return out
}

func (r *roster) effectsOf(k int) (out []DrillEffect) {
	drills := r.drillsOf(k)
	test := r.testOf(k)
	var tested []skill.Tested
	for i := range r.pupils {
		tested = append(tested, r.courseOf(i, drills, test)...)
	}
	growth := skill.FitGrowth(r.at[k], len(drills), tested)
	for i, e := range growth.Effects {
		d := &r.lib.Drills[drills[i]]
		row := DrillEffect{Drill: d.ID, Component: d.Component, Test: test, Students: e.Students, Sets: e.Sets, Status: e.Evidence}
		if e.Evidence == skill.None && r.practised(drills[i]) {
			row.Status = skill.Untested
		}
		for _, j := range e.With {
			row.With = append(row.With, r.lib.Drills[drills[j]].ID)
		}
		if e.Evidence == skill.Enough || e.Evidence == skill.Few {
			group := toldOf(e.Learned)
			row.Group = &group
			for _, own := range e.Individual {
				row.Own = append(row.Own, OwnEffect{r.pupils[own.Student].Student.ID, toldOf(own.Part), own.Weight})
			}
		}
		out = append(out, row)
	}
	return out
}

func (r *roster) drillsOf(k int) (drills []int) {
	for j, d := range r.lib.Drills {
		if r.place[d.Component] == k && !practice.FreeTry(d.ID) {
			drills = append(drills, j)
		}
	}
	return drills
}

func (r *roster) practised(drill int) bool {
	return slices.ContainsFunc(r.pupils, func(p pupil) bool {
		return slices.ContainsFunc(p.items, func(it item) bool { return it.drill == drill })
	})
}

// testOf is the floor test of a component with the most results, the library's
// first of equals; empty where there is none.
func (r *roster) testOf(k int) (most string) {
	results := map[string]int{}
	for i := range r.pupils {
		for _, t := range r.pupils[i].tests() {
			results[t.Test]++
		}
	}
	for _, p := range r.lib.Probes {
		if r.place[p.Component] == k && results[p.ID] > results[most] {
			most = p.ID
		}
	}
	return most
}

// courseOf is a student's results of a floor test, each with the sets done before
// it.
func (r *roster) courseOf(student int, drills []int, test string) (out []skill.Tested) {
	p := &r.pupils[student]
	probe, ok := r.lib.Probe(test)
	if !ok {
		return nil
	}
	done, other, next := make([]float64, len(drills)), 0., 0
	for _, t := range p.tests() {
		if t.Test != test {
			continue
		}
		for ; next < len(p.items) && p.items[next].at().UnixNano < t.At.UnixNano; next++ {
			it := &p.items[next]
			if at := slices.Index(drills, it.drill); at >= 0 {
				done[at] += r.setsOf(it)
			} else {
				other += r.setsOf(it)
			}
		}
		value, sd := measured(probe, t.Value)
		out = append(out, skill.Tested{Student: student, Day: int(p.clock(t.At)), Value: value, SD: sd, Sets: slices.Clone(done), Other: other})
	}
	return out
}

// setsOf is how many sets of its drill a row is; of an unknown drill, one.
func (r *roster) setsOf(it *item) float64 {
	if it.drill < 0 {
		return 1
	}
	return float64(it.tries()) / float64(max(1, r.lib.Drills[it.drill].Reps))
}

// measured is a result in logits with its sd; for a count of passes that of an
// empirical logit (Cox 1970, Analysis of Binary Data, ch. 3).
func measured(p practice.Probe, value float64) (logit, sd float64) {
	sd = p.SD
	if p.Link == practice.OfN {
		x := float64(passesOfN(p, value))
		sd = math.Sqrt(sd*sd + 1/(x+.5) + 1/(float64(p.N)-x+.5))
	}
	return p.Ability(value), sd
}
