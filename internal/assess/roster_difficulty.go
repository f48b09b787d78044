package assess

import (
	"math"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// DrillDifficulty is how hard a drill is, as all students show it together, in
// logits on the library's scale.
type DrillDifficulty struct {
	Drill     string             `json:"drill"`
	Component practice.Component `json:"component"`
	Guess     float64            `json:"guess"`
	GuessSD   float64            `json:"guess_sd"`
	Told
	Shift    float64        `json:"shift"` // from the guess; over 0 is harder
	Tries    int            `json:"tries"`
	Students int            `json:"students"`
	Taken    float64        `json:"doubt_taken_away"` // share of the guess's variance
	Status   skill.Evidence `json:"status"`
}

// difficulties refits every drill but the free tries: a catch is the work of many
// components. Floor tests take part as items with guesses of their own.
func (r *roster) difficulties() ([]DrillDifficulty, error) {
	items, tests := r.refitItems()
	fresh := skill.NewHeadline()
	var seen []skill.Seen
	for i := range r.pupils {
		seen = append(seen, r.sets(i, &fresh)...)
		seen = append(seen, r.results(i, tests)...)
	}
	fitted, err := skill.Refit(r.wandering(), items, seen)
	if err != nil {
		return nil, err
	}
	out := []DrillDifficulty{}
	for j, d := range r.lib.Drills {
		if practice.FreeTry(d.ID) {
			continue
		}
		f := fitted[j]
		out = append(out, DrillDifficulty{d.ID, d.Component, f.Guess, f.Doubt, toldOf(f.Learned), f.Mean - f.Guess,
			f.Tries, f.Students, f.Told, f.Evidence})
	}
	return out, nil
}

// What abilities wander a day in a refit, logit²: it knows of no gain from
// practice, so they must be free to come on. Guesses; with the steps of the
// component filter the intervals covered half of what they claim on simulated
// rosters.
const (
	motorWander    = .15
	capacityWander = .03
)

func (r *roster) wandering() []skill.Component {
	at := slices.Clone(r.at)
	for i, info := range r.lib.Components {
		at[i].Noise = motorWander
		if info.Capacity {
			at[i].Noise = capacityWander
		}
	}
	return at
}

// refitItems is the library's drills, then its floor tests, with the guesses
// there were before anything was learned: a later one may come from this very log.
func (r *roster) refitItems() (items []skill.Item, tests map[string]int) {
	for _, d := range r.lib.Drills {
		it := skill.Item{Component: r.place[d.Component], Difficulty: d.Difficulty, Doubt: d.DifficultySD}
		if len(d.Before) > 0 {
			it.Difficulty, it.Doubt = d.Before[0].Difficulty, d.Before[0].DifficultySD
		}
		items = append(items, it)
	}
	tests = map[string]int{}
	for _, p := range r.lib.Probes {
		tests[p.ID] = len(items)
		it := skill.Item{Component: r.place[p.Component], Doubt: skill.DrillDoubt}
		if p.Link == practice.OfN {
			it.Difficulty = p.Mid
		}
		items = append(items, it)
	}
	return items, tests
}

// sets is what a student's rows say of drills. What fatigue adds to a try is what
// it usually adds: one student's own is known to one student's filter alone.
func (r *roster) sets(student int, usual *skill.Headline) (seen []skill.Seen) {
	p := &r.pupils[student]
	for i := range p.items {
		it := &p.items[i]
		if it.drill < 0 || it.free() {
			continue
		}
		if tries, passed := passesOf(r.lib, it); tries > 0 {
			seen = append(seen, skill.Seen{Student: student, Day: int(it.day), Item: it.drill, Tries: tries, Passed: passed,
				Offset: usual.Tired(it.work)})
		}
	}
	return seen
}

// results is what a student's floor tests say.
func (r *roster) results(student int, tests map[string]int) (seen []skill.Seen) {
	p := &r.pupils[student]
	for _, t := range p.tests() {
		probe, ok := r.lib.Probe(t.Test)
		if !ok {
			continue
		}
		s := skill.Seen{Student: student, Day: int(p.clock(t.At)), Item: tests[t.Test]}
		if probe.Link == practice.OfN {
			s.Tries, s.Passed = probe.N, passesOfN(probe, t.Value)
		} else {
			s.Value, s.SD = probe.Ability(t.Value), probe.SD
		}
		seen = append(seen, s)
	}
	return seen
}

func passesOfN(p practice.Probe, value float64) int {
	return int(math.Round(min(max(value, 0), float64(p.N))))
}
