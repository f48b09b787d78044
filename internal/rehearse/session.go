package rehearse

import (
	"fmt"

	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// start is the Monday every rehearsal begins on.
var start = practice.DateOf(2026, 1, 5)

// at is an instant of a rehearsal: a day from the start and a second of it.
func at(day int, second float64) practice.Instant {
	const evening = 18 * 3600
	return practice.Instant{UnixNano: (int64(start)+int64(day))*86400e9 + int64((evening+second)*1e9)}
}

// train does one planned session on a day and logs it as a phone would: cold
// tries and the first set of free tries one by one, the rest as tallies.
func (c *course) train(day int, s practice.PlannedSession) {
	c.second, c.day = 0, day
	hides := c.flaws.HidesWarmUp(c.seed, day)
	if hides {
		s = hidden(s)
	}
	prep := 0.0
	for _, b := range s.Blocks {
		if b.Kind == practice.PrepBlock {
			prep = b.Minutes
		}
	}
	c.who.Begin(prep)
	c.second += prep * 60
	for _, b := range s.Blocks {
		c.silent = hides && b.Kind != practice.ColdBlock
		for _, it := range b.Items {
			c.item(b.Kind, it)
		}
	}
	out := c.who.Finish()
	c.rows++
	c.log.Sessions = append(c.log.Sessions, practice.Session{
		ID: fmt.Sprintf("s%d", c.rows), Student: c.student.ID, At: at(day, c.second), Minutes: practice.Known(s.Minutes),
		Effort: practice.Known(out.Effort), PainSite: out.Site, Pain: practice.Known(out.Pain), PainMorning: practice.Known(out.Morning),
	})
	if out.DaysOff > 0 {
		c.handsOff = day + 1 + out.DaysOff
		cleared := start + practice.Date(c.handsOff)
		c.student.Stops = append(c.student.Stops, practice.Stop{No: []practice.Strain{practice.HandLoad},
			Since: start + practice.Date(day), ClearedOn: &cleared, ClearedBy: byTheCoach})
	}
}

// item does one line of a session.
func (c *course) item(block practice.BlockKind, it practice.Item) {
	i := c.world.drill(it.Drill)
	if i < 0 {
		panic("rehearse: no drill " + it.Drill)
	}
	e := c.world.exercises[i]
	if e.HandMinutes > 0 && c.day < c.handsOff {
		return // the hands rest
	}
	for set := range max(1, it.Sets) {
		if e.Reps = it.Reps; e.Reps == 0 {
			e.Reps = max(1, c.world.lib.Drills[i].Reps)
		}
		if e.Capacity {
			e.Minutes = it.Minutes / float64(max(1, it.Sets))
		}
		if own := max(1, c.world.lib.Drills[i].Reps); e.Reps != own {
			e.HandMinutes = c.world.exercises[i].HandMinutes * float64(e.Reps) / float64(own)
		}
		reps := c.who.Do(e)
		c.remember(i, e.Try, reps)
		c.sets++
		switch {
		case c.silent:
		case e.Try && (block == practice.ColdBlock || set == 0):
			c.logTries(it.Drill, c.flaws.Keeps(c.seed, c.sets, reps))
		default:
			c.logTally(it.Drill, e.Try, c.flaws.Keeps(c.seed, c.sets, reps))
		}
		c.second += c.world.lib.Drills[i].SetMinutes * 60
	}
}

func (c *course) logTries(drill string, reps []learner.Rep) {
	for k, r := range reps {
		if c.rows++; c.flaws.Forgets(c.seed, c.rows) {
			continue
		}
		a := practice.Attempt{ID: fmt.Sprintf("a%d", c.rows), Student: c.student.ID, At: at(c.day, c.second+float64(k)), Drill: drill,
			Rep: k + 1, Passed: practice.Known(r.Caught), Timed: "counted", End: practice.End(r.End.String())}
		if r.Caught {
			a.Seconds = practice.Known(tenths(c.flaws.Written(c.seed, c.rows, r.Seconds)))
		}
		c.log.Attempts = append(c.log.Attempts, a)
	}
}

func (c *course) logTally(drill string, try bool, reps []learner.Rep) {
	if c.rows++; c.flaws.Forgets(c.seed, c.rows) {
		return
	}
	t := practice.Tally{ID: fmt.Sprintf("t%d", c.rows), Student: c.student.ID, At: at(c.day, c.second), Drill: drill, Tries: len(reps), Timed: "counted"}
	passed, best, second := 0, 0.0, 0.0
	for _, r := range reps {
		switch {
		case !try && r.Passed:
			passed++
		case try && r.Caught:
			passed++
			best, second = max(best, r.Seconds), max(second, min(best, r.Seconds))
		}
	}
	t.Caught = practice.Known(passed)
	if best >= practice.CatchS {
		t.Best = practice.Known(tenths(c.flaws.Written(c.seed, c.rows, best)))
		if second >= practice.CatchS {
			t.SecondBest = practice.Known(min(t.Best.Value, tenths(c.flaws.Written(c.seed, c.rows, second))))
		}
	}
	c.log.Tallies = append(c.log.Tallies, t)
}

// remember keeps what a teacher would: how often a drill was passed, and lately.
func (c *course) remember(drill int, try bool, reps []learner.Rep) {
	for _, r := range reps {
		c.tries[drill]++
		c.lately[drill] <<= 1
		if r.Passed || try && r.Caught {
			c.passes[drill]++
			c.lately[drill] |= 1
		}
	}
}

// tenths is a time as it is written: in tenths of a second, cut off.
func tenths(seconds float64) float64 { return float64(int(10*seconds+1e-9)) / 10 }

// byTheCoach is who ends the days off after pain.
const byTheCoach = "the coach"
