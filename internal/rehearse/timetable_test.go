package rehearse

import (
	"slices"
	"testing"

	"aplomb/internal/learner"
	"aplomb/internal/numtest"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
)

// eachWeek lets a student go through weeks and shows what comes next after each.
func eachWeek(t *testing.T, name string, number, weeks int, look func(c *course, sessions []practice.PlannedSession)) {
	t.Helper()
	c := student(t, name, number, learner.Defaults(), 7)
	for w := range weeks {
		c.week(w)
		look(c, c.policy.sessions(c, w+1))
	}
}

// TestSessionsFitTheirSlot: what is written never takes more minutes than the
// slot has once the log is kept.
func TestSessionsFitTheirSlot(t *testing.T) {
	set := planning.DefaultSettings()
	for _, name := range append(slices.Clone(plain), "timetable@1x10+1x29+1x30", "random@7x12", "balance-only@2x75") {
		for number := range 4 {
			eachWeek(t, name, number, 12, func(c *course, sessions []practice.PlannedSession) {
				if len(sessions) != len(c.policy.Slots) {
					t.Fatalf("%s: %d sessions", name, len(sessions))
				}
				for i, s := range sessions {
					sum := set.Small.Log
					if s.Minutes >= set.FullFrom {
						sum = set.Full.Log
					}
					for _, b := range s.Blocks {
						sum += b.Minutes
						filled(t, name, b)
					}
					if slot := c.policy.Slots[i]; s.Day != slot.Day || s.Minutes != float64(slot.Minutes) || sum > s.Minutes+1e-9 {
						t.Errorf("%s, %s: %g minutes in a slot of %d", name, s.Day, sum, slot.Minutes)
					}
				}
			})
		}
	}
}

// filled holds a block's minutes against its items'.
func filled(t *testing.T, name string, b practice.Block) {
	t.Helper()
	sum := 0.0
	for _, it := range b.Items {
		sum += it.Minutes
		if it.Sets < 1 || it.Reps < 1 || it.Minutes <= 0 {
			t.Errorf("%s: an empty item %+v", name, it)
		}
	}
	if b.Kind != practice.PrepBlock {
		numtest.Close(t, name+": minutes of a block", b.Minutes, sum, 1e-9)
	}
}

// TestMinutesAreEqual: under full adherence every policy practises the minutes
// of its schedule.
func TestMinutesAreEqual(t *testing.T) {
	const weeks = 8
	for _, content := range Contents {
		c := student(t, string(content), 0, with(t, "adherence", 1), 7)
		numtest.Close(t, string(content), c.run(weeks).Minutes, weeks*150, 1e-9)
	}
}

// TestNothingBeforeItsNeeds: read from the log alone, no drill was begun before
// what it needs was shown, the exits before open tries above all.
func TestNothingBeforeItsNeeds(t *testing.T) {
	for _, name := range slices.Concat(plain, planners) {
		students, gated := 12, 0
		if slices.Contains(planners, name) {
			students = 2 // they estimate, which takes its time
		}
		for number := range students {
			c := student(t, name, number, learner.Defaults(), 11)
			c.run(8)
			gated += needsShown(t, c)
		}
		if gated < 20*students {
			t.Errorf("%s: only %d rows of drills that need something", name, gated)
		}
	}
}

// needsShown reads a log in order of time and counts the rows that needed
// something.
func needsShown(t *testing.T, c *course) (gated int) {
	t.Helper()
	passes, tests, next := map[string]int{}, map[string]float64{}, 0
	shown := func(s practice.Shown) bool { return onRecord(c, s, passes, tests) }
	for k, r := range rows(&c.log) {
		for ; next < len(c.log.Probes) && c.log.Probes[next].At.Before(r.at); next++ {
			tests[c.log.Probes[next].Test] = c.log.Probes[next].Value
		}
		d, _ := c.world.lib.Drill(r.drill)
		gated += min(1, len(d.Needs))
		if slices.ContainsFunc(d.Needs, func(n practice.Need) bool { return !slices.ContainsFunc(n.Any, shown) }) {
			t.Errorf("%s, %s: %s too early, row %d", c.policy.Name, c.student.ID, r.drill, k)
		}
		passes[r.drill] += r.passes
	}
	return gated
}

func onRecord(c *course, s practice.Shown, passes map[string]int, tests map[string]float64) bool {
	switch {
	case s.Drill != "":
		return passes[s.Drill] >= s.Passes
	case s.Test != "":
		v, tested := tests[s.Test]
		p, _ := c.world.lib.Probe(s.Test)
		return tested && p.Ability(v) >= p.Ability(*s.Value)
	}
	return c.reached >= s.Proven
}

// TestPoliciesKeepToTheirContent: balance alone, tries alone, or everything.
func TestPoliciesKeepToTheirContent(t *testing.T) {
	for _, name := range []string{"balance-only", "maximal-only", "timetable", "random"} {
		seen := map[practice.Component]bool{}
		tries := 0
		eachWeek(t, name, 1, 20, func(c *course, sessions []practice.PlannedSession) {
			for _, s := range sessions {
				late := false
				for _, b := range s.Blocks {
					for _, it := range b.Items {
						d, _ := c.world.lib.Drill(it.Drill)
						switch {
						case b.Kind == practice.PracticeBlock && name == "balance-only" && d.Component != "balance",
							b.Kind == practice.PracticeBlock && name == "maximal-only" && d.ID != practice.OpenTry && (d.Component != "exit" || tries > 0),
							b.Kind == practice.StretchBlock != (d.Kind == practice.Mobility),
							b.Kind == practice.StrengthBlock && name == "random" && d.Kind != practice.Strength,
							b.Kind == practice.PracticeBlock && late:
							t.Errorf("%s: %s, %s of %s, in a %s block", name, it.Drill, d.Kind, d.Component, b.Kind)
						}
						if b.Kind == practice.PracticeBlock && d.ID == practice.OpenTry {
							tries++
						}
						if b.Kind == practice.PracticeBlock || b.Kind == practice.StrengthBlock {
							seen[d.Component] = true
						}
					}
					late = late || b.Kind == practice.StrengthBlock
				}
			}
		})
		if want := map[string]int{"balance-only": 1, "timetable": learner.N, "random": learner.N}[name]; want > 0 && len(seen) != want || name == "maximal-only" && tries == 0 {
			t.Errorf("%s: %v, %d blocks of tries", name, seen, tries)
		}
	}
}

// TestEasyAndHardInEqualMinutes: once drills are mastered, half of a timetable's
// practice minutes go to mastered ones.
func TestEasyAndHardInEqualMinutes(t *testing.T) {
	var easy, all float64
	for number := range 10 {
		week := 0
		eachWeek(t, "timetable", number, 40, func(c *course, sessions []practice.PlannedSession) {
			if week++; week <= 8 {
				return
			}
			for _, s := range sessions {
				for _, b := range s.Blocks {
					for _, it := range b.Items {
						if b.Kind != practice.PracticeBlock {
							continue
						}
						if all += it.Minutes; c.mastered(c.world.drill(it.Drill)) {
							easy += it.Minutes
						}
					}
				}
			}
		})
	}
	t.Logf("%.0f of %.0f practice minutes on mastered drills: %.3f", easy, all, easy/all)
	if share := easy / all; share < .4 || share > .6 {
		t.Errorf("%.2f of the practice minutes are easy", share)
	}
}
