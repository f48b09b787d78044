package assess

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// heap is students of one sample studio.
type heap struct {
	subjects  []Subject
	standings []Standing
}

func (h *heap) add(id string, log *practice.Log, asOf practice.Date) {
	s := subject(log, asOf)
	s.Student.ID = id
	h.subjects = append(h.subjects, s)
	h.standings = append(h.standings, Stand(s))
}

func (h *heap) learn(t *testing.T) Learned {
	t.Helper()
	l, err := Learn(h.subjects, h.standings)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func tallied(day int, drill string, tries, caught int) practice.Tally {
	return practice.Tally{ID: fmt.Sprintf("t%d%s", day, drill), At: at(day, 0), Drill: drill, Tries: tries, Caught: practice.Known(caught)}
}

func tested(day, minute int, test string, value float64) practice.ProbeResult {
	return practice.ProbeResult{ID: fmt.Sprintf("p%d%s", day, test), At: at(day, minute), Test: test, Value: value}
}

func difficultyOf(t *testing.T, l Learned, drill string) DrillDifficulty {
	t.Helper()
	i := slices.IndexFunc(l.Difficulties, func(d DrillDifficulty) bool { return d.Drill == drill })
	if i < 0 {
		t.Fatalf("no difficulty of %s", drill)
	}
	return l.Difficulties[i]
}

func effectOf(l Learned, drill string) DrillEffect {
	return l.Effects[slices.IndexFunc(l.Effects, func(e DrillEffect) bool { return e.Drill == drill })]
}

func openOf(l Learned, code OpenCode) *Open {
	if i := slices.IndexFunc(l.CannotTell, func(o Open) bool { return o.Code == code }); i >= 0 {
		return &l.CannotTell[i]
	}
	return nil
}

func TestNobodyTeachesNothing(t *testing.T) {
	l := (&heap{}).learn(t)
	if l.Students != 0 || len(l.Difficulties)+len(l.Effects)+len(l.Milestones) != 0 {
		t.Errorf("%+v", l)
	}
}

// Students with an empty log leave every guess where it was.
func TestAnEmptyLogLeavesTheLibrary(t *testing.T) {
	var h heap
	h.add("ada", &practice.Log{}, monday)
	l := h.learn(t)
	for _, d := range l.Difficulties {
		if d.Shift != 0 || math.Abs(d.SD-d.GuessSD) > 1e-12 || d.Status != skill.None {
			t.Errorf("%+v", d)
		}
	}
	for _, e := range l.Effects {
		if e.Group != nil || e.Status != skill.None {
			t.Errorf("%+v", e)
		}
	}
	for _, m := range l.Milestones {
		for _, a := range m.Asks {
			if a.Mean != a.Guess || math.Abs(a.Value-a.Table) > 1e-9 || a.Status != skill.None {
				t.Errorf("%+v", a)
			}
		}
	}
}

// Everyone finds one drill of three harder than its guess: it moves up, free tries
// are no drills to refit, and rows after the day are not looked at.
func TestAHardDrillIsFound(t *testing.T) {
	var h heap
	for i := range 8 {
		log := &practice.Log{}
		for day := range 20 {
			log.Tallies = append(log.Tallies, tallied(day, "heel-float", 10, 7), tallied(day, "toe-float", 10, 1), tallied(day, "frog-hold", 10, 8))
		}
		log.Tallies = append(log.Tallies, tallied(40, "toe-float", 100, 100))
		h.add(fmt.Sprint("s", i), log, monday+30)
	}
	l := h.learn(t)
	hard, easy := difficultyOf(t, l, "toe-float"), difficultyOf(t, l, "heel-float")
	if hard.Lo <= hard.Guess || hard.Shift <= easy.Shift || hard.Status != skill.Enough || hard.Tries != 1600 || hard.Students != 8 {
		t.Errorf("toe float: %+v", hard)
	}
	if slices.ContainsFunc(l.Difficulties, func(d DrillDifficulty) bool { return practice.FreeTry(d.Drill) }) {
		t.Error("a free try is refitted")
	}
}

// A difficulty that was changed starts the refit from the first guess: the
// change may have been learned from this log.
func TestRefitStartsFromTheFirstGuess(t *testing.T) {
	var h heap
	h.add("ada", &practice.Log{}, monday)
	lib := *h.subjects[0].Library
	lib.Drills = slices.Clone(lib.Drills)
	i := slices.IndexFunc(lib.Drills, func(d practice.Drill) bool { return d.ID == "toe-float" })
	lib.Drills[i].Before = []practice.PastDifficulty{{Until: monday, Difficulty: -.7, DifficultySD: .5}}
	h.subjects[0].Library = &lib
	if d := difficultyOf(t, h.learn(t), "toe-float"); d.Guess != -.7 || d.GuessSD != .5 {
		t.Errorf("%+v", d)
	}
}

// One drill opens shoulders by a tenth of a logit a set, another by nothing: 30
// students, a floor test every four weeks.
func TestADrillThatWorksIsFound(t *testing.T) {
	var h heap
	rng := rand.New(rand.NewPCG(3, 3))
	lib := subject(&practice.Log{}, 0).Library
	probe, _ := lib.Probe("shoulder-overhead")
	for i := range 30 {
		log, level := &practice.Log{}, 0.
		for week := range 25 {
			if week%4 == 0 {
				value := probe.Mid + probe.Scale*(level+probe.SD*rng.NormFloat64())
				log.Probes = append(log.Probes, tested(7*week, -30, "shoulder-overhead", min(max(value, probe.Min), probe.Max)))
			}
			for _, drill := range []string{"wall-open", "towel-round"} {
				d, _ := lib.Drill(drill)
				n := rng.IntN(3)
				for set := range n {
					log.Tallies = append(log.Tallies, tallied(7*week+1+set, drill, max(1, d.Reps), 0))
				}
				if drill == "wall-open" {
					level += .1 * float64(n)
				}
			}
		}
		h.add(fmt.Sprint("s", i), log, monday+200)
	}
	l := h.learn(t)
	works, idle := effectOf(l, "wall-open"), effectOf(l, "towel-round")
	if works.Status != skill.Enough || works.Group.Lo > .1 || works.Group.Hi < .1 || works.Group.Lo <= 0 || works.Test != "shoulder-overhead" {
		t.Errorf("%+v %+v", works, works.Group)
	}
	if idle.Status != skill.Enough || idle.Group.Lo > 0 || idle.Group.Hi < 0 {
		t.Errorf("%+v %+v", idle, idle.Group)
	}
	if len(works.Own) != 30 || works.Own[0].Weight <= 0 || works.Own[0].Weight >= 1 {
		t.Errorf("%d parts, %+v", len(works.Own), works.Own[0])
	}
	if idle := effectOf(l, "toe-float"); idle.Status != skill.None || idle.Group != nil {
		t.Errorf("%+v", idle)
	}
}
