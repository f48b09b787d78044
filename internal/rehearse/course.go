package rehearse

import (
	"fmt"
	"math/rand/v2"

	"aplomb/internal/assess"
	"aplomb/internal/learner"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
)

// Goal is the hold that is waited for, in seconds, and GoalChance the true
// chance of it, first try of a cold day, that counts as having it.
const (
	Goal       = 15.0
	GoalChance = 0.80
)

// course is one simulated student under one policy.
type course struct {
	world   *world
	policy  Policy
	who     *learner.Student
	rng     *rand.Rand // of the policy and of what is missed, never of the learner
	student practice.Student
	log     practice.Log
	last    assess.Standing
	looks   assess.Following

	passes  []int    // of every drill
	lately  []uint16 // the last tries of every drill, a bit each, the newest lowest
	tries   []int    // of every drill
	tested  map[string]float64
	due     []planning.FloorTest // chosen for this week
	chances [][]float64          // weekly truth, by milestone
	daily   [][]float64          // daily truth, by milestone
	reached float64

	day      int
	second   float64
	rows     int
	spare    float64 // minutes of a plain session that no set has filled yet
	handsOff int     // first day on which the hands may be loaded again
	seed     uint64  // of the flaws of the log
	flaws    learner.Flaws
	session  int  // number of the next session
	sets     int  // done so far
	silent   bool // what is done is not written
	record   Record
}

// Record is what one course came to.
type Record struct {
	// Reached is the first week at whose end the true chance of a cold hold of
	// [Goal] seconds was [GoalChance] or more, counted from 1; 0: never.
	Reached  int
	Chance   []float64 // the true cold chance of Goal at the end of each week
	Looks    []Look
	Proofs   []Proof
	Limiters []LimiterLook
	Minutes  float64 // practised
	Tests    int     // floor tests taken
}

// enroll makes the student of a number: the same under every policy.
func enroll(w *world, p Policy, number int, seed uint64) *course {
	c := &course{world: w, policy: p, flaws: w.flaws, seed: seed ^ uint64(number+1)<<20,
		who: learner.New(w.params, seed^uint64(number+1)*0x9e3779b97f4a7c15),
		rng: randomOf(seed^0x5eed, uint64(number)),
		student: practice.Student{ID: fmt.Sprintf("s%d", number), Name: fmt.Sprintf("Student %d", number),
			Kit: []practice.Kit{"wall", "mat"}, Slots: p.Slots},
		passes: make([]int, len(w.lib.Drills)), lately: make([]uint16, len(w.lib.Drills)), tries: make([]int, len(w.lib.Drills)),
		tested: map[string]float64{}, chances: make([][]float64, len(practice.DefaultMilestonesS)),
	}
	return c
}

// run lets so many weeks pass.
func (c *course) run(weeks int) Record {
	for w := range weeks {
		c.week(w)
	}
	c.settle(weeks)
	return c.record
}

func (c *course) week(w int) {
	monday := 7 * w
	tests := c.battery(w)
	c.probe(monday-1, tests)
	c.pay(tests)
	if c.policy.plans() || c.judged(w) {
		c.look(monday-1, true)
	}
	if c.judged(w) {
		c.judgeLimiter(w)
	}
	sessions := c.policy.sessions(c, w)
	next := 0
	for day := range 7 {
		c.truth()
		for ; next < len(sessions) && int(sessions[next].Day) == day; next++ {
			c.attend(monday+day, sessions[next])
		}
		c.who.Night(1)
	}
	c.weekly()
	q := c.who.Chance(Goal, true)
	c.record.Chance = append(c.record.Chance, q)
	if c.record.Reached == 0 && q >= GoalChance {
		c.record.Reached = w + 1
	}
	if (w+1)%weeksAMonth == 0 {
		c.look(monday+6, false)
		c.judge((w + 1) / weeksAMonth)
	}
}

// weeksAMonth: months here are four weeks, so that they are equally long.
const weeksAMonth = 4

// attend does a session unless it is missed.
func (c *course) attend(day int, s practice.PlannedSession) {
	if c.absent(day / 7) {
		return
	}
	c.record.Minutes += s.Minutes
	c.chosen(day, s.Day)
	c.train(day, s)
}

// look estimates where the student stands at the end of a day, from the log
// alone; brief is enough for planning.
func (c *course) look(day int, brief bool) {
	s := c.subject(day)
	s.Brief = brief
	c.last = c.looks.Stand(s)
	c.proofs()
}

// planned is the planner's week.
func (c *course) planned(w int) practice.Week {
	in := planning.For(c.student, c.last, c.world.lib, nil, &c.log)
	in.Week = (start + practice.Date(7*w)).Week()
	in.Settings.LighterEvery = 0 // the same minutes under every policy
	if !c.policy.chooses() {
		in.Settings.TestMinutes = 0
	}
	draft, err := planning.Make(in, planning.Solver{})
	if err != nil {
		panic(fmt.Sprintf("rehearse: %v", err)) // a fault of the program
	}
	c.due = draft.Tests
	return draft.Week
}

// subject is what the estimator is given.
func (c *course) subject(day int) assess.Subject {
	return assess.Subject{Student: c.student, Log: &c.log, Library: c.world.lib,
		Milestones: practice.DefaultMilestonesS, AsOf: start + practice.Date(day)}
}
