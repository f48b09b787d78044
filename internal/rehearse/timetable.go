package rehearse

import (
	"math"
	"math/bits"
	"slices"

	"aplomb/internal/planning"
	"aplomb/internal/practice"
)

// The plain policies know a student only by what a class teacher sees: what was
// passed how often. They have the planner's frame of a session, the same drills
// and the same gates, and no estimate.

// mastered is how a drill is moved on from: so many of the last tries passed.
const (
	masteredOf    = 10
	masteredShare = 0.8
)

// strengthShare of the practice minutes of a session goes to strength, last.
const strengthShare = 1. / 4

// shortPractice is under how many practice minutes a session has one skill only.
const shortPractice = 12

// timetable writes a week of one of the plain policies.
func (c *course) timetable(w int) (out []practice.PlannedSession) {
	allowed := c.allowed()
	for i, slot := range c.policy.Slots {
		out = append(out, c.plain(slot, len(c.policy.Slots)*w+i, allowed))
	}
	return out
}

// plain is one session: the planner's frame, and in the middle what the policy
// puts there.
func (c *course) plain(slot practice.Slot, turn int, allowed []bool) practice.PlannedSession {
	set := planning.DefaultSettings()
	f := set.Small
	if float64(slot.Minutes) >= set.FullFrom {
		f = set.Full
	}
	c.spare = 0
	left := float64(slot.Minutes) - f.Prep - f.Log - f.Stretch
	s := practice.PlannedSession{Day: slot.Day, Minutes: float64(slot.Minutes)}
	s.Blocks = append(s.Blocks, practice.Block{Kind: practice.PrepBlock, Minutes: f.Prep})
	if allowed[c.world.openTry] {
		left -= f.Cold + f.Tries
		s.Blocks = append(s.Blocks, c.fill(practice.ColdBlock, c.world.coldTry, f.Cold))
		if f.Tries > 0 {
			s.Blocks = append(s.Blocks, c.fill(practice.TriesBlock, c.world.openTry, f.Tries))
		}
	}
	s.Blocks = append(s.Blocks, c.practised(turn, left, allowed)...)
	if f.Stretch > 0 {
		s.Blocks = append(s.Blocks, c.fill(practice.StretchBlock, c.pick(turn, func(i int) bool {
			return allowed[i] && c.world.lib.Drills[i].Kind == practice.Mobility
		}), f.Stretch))
	}
	return s
}

// fill is a block of one drill for so many minutes: the sets that fit, with what
// the blocks before left over; what is left goes on to the next.
func (c *course) fill(kind practice.BlockKind, drill int, minutes float64) practice.Block {
	c.spare += minutes
	if drill < 0 {
		return practice.Block{Kind: kind}
	}
	d := &c.world.lib.Drills[drill]
	it := practice.Item{Drill: d.ID, Sets: int((c.spare-d.SetupMinutes)/d.SetMinutes + 1e-9), Reps: d.Reps, Seconds: d.Seconds, RestSeconds: d.RestSeconds}
	it.Minutes = d.SetupMinutes + float64(it.Sets)*d.SetMinutes
	if practice.FreeTry(d.ID) {
		each := d.SetMinutes / float64(max(1, d.Reps))
		it.Sets, it.Reps = 1, int(c.spare/each+1e-9)
		it.Minutes = float64(it.Reps) * each
	}
	if it.Sets < 1 || it.Reps < 1 {
		return practice.Block{Kind: kind}
	}
	c.spare -= it.Minutes
	return practice.Block{Kind: kind, Minutes: it.Minutes, Items: []practice.Item{it}}
}

// practised is the middle of a session.
func (c *course) practised(turn int, minutes float64, allowed []bool) (out []practice.Block) {
	late := minutes * strengthShare
	switch c.policy.Content {
	case BalanceOnly:
		return c.pair("balance", turn, minutes, allowed)
	case MaximalOnly:
		if allowed[c.world.openTry] {
			return []practice.Block{c.fill(practice.PracticeBlock, c.world.openTry, minutes)}
		}
		return c.pair("exit", turn, minutes, allowed) // the way out first: safety is no policy
	case Drawn:
		skill := func(i int) bool { return allowed[i] && c.plannable(i) && c.world.lib.Drills[i].Kind == practice.Skill }
		strength := func(i int) bool {
			return allowed[i] && c.plannable(i) && c.world.lib.Drills[i].Kind == practice.Strength
		}
		third := (minutes - late) / 2
		return []practice.Block{c.fill(practice.PracticeBlock, c.draw(skill), third), c.fill(practice.PracticeBlock, c.draw(skill), third),
			c.fill(practice.StrengthBlock, c.draw(strength), late)}
	}
	skills, capacities := c.names(false), c.names(true)
	if minutes < shortPractice {
		out = c.pair(skills[turn%len(skills)], turn, minutes-late, allowed)
	} else {
		out = append(c.pair(skills[2*turn%len(skills)], turn, (minutes-late)/2, allowed),
			c.pair(skills[(2*turn+1)%len(skills)], turn, (minutes-late)/2, allowed)...)
	}
	_, hard := c.ladder(capacities[turn%len(capacities)], allowed)
	return append(out, c.fill(practice.StrengthBlock, hard, late))
}

// pair is a component's easy and hard drill in equal minutes; where those are
// too few for both, one of them, in turn.
func (c *course) pair(component practice.Component, turn int, minutes float64, allowed []bool) []practice.Block {
	easy, hard := c.ladder(component, allowed)
	if easy >= 0 && minutes/2 < max(c.least(easy), c.least(hard)) {
		return []practice.Block{c.fill(practice.PracticeBlock, [2]int{hard, easy}[turn%2], minutes)}
	}
	return []practice.Block{c.fill(practice.PracticeBlock, easy, minutes/2), c.fill(practice.PracticeBlock, hard, minutes/2)}
}

// least is the minutes of one set.
func (c *course) least(drill int) float64 {
	return c.world.lib.Drills[drill].SetupMinutes + c.world.lib.Drills[drill].SetMinutes
}

// ladder is the hardest drill of a component that was mastered and the easiest
// that was not; where one is missing, the other.
func (c *course) ladder(component practice.Component, allowed []bool) (easy, hard int) {
	easy, hard = -1, -1
	low, high := math.Inf(1), math.Inf(-1)
	for i, d := range c.world.lib.Drills {
		if d.Component != component || !allowed[i] || !c.plannable(i) {
			continue
		}
		if c.mastered(i) {
			if d.Difficulty > high {
				easy, high = i, d.Difficulty
			}
		} else if d.Difficulty < low {
			hard, low = i, d.Difficulty
		}
	}
	if easy < 0 {
		easy = hard
	}
	if hard < 0 {
		hard = easy
	}
	return easy, hard
}

func (c *course) mastered(drill int) bool {
	last := bits.OnesCount16(c.lately[drill] & (1<<masteredOf - 1))
	return c.tries[drill] >= masteredOf && float64(last) >= masteredShare*masteredOf
}

func (c *course) names(capacities bool) (out []practice.Component) {
	for _, info := range c.world.lib.Components {
		if info.Capacity == capacities {
			out = append(out, info.Name)
		}
	}
	return out
}

func (c *course) plannable(i int) bool {
	d := &c.world.lib.Drills[i]
	return d.Kind != practice.Mobility && !practice.FreeTry(d.ID)
}

// draw is a drill by chance, -1 where none is left.
func (c *course) draw(keep func(int) bool) int {
	var among []int
	for i := range c.world.lib.Drills {
		if keep(i) {
			among = append(among, i)
		}
	}
	if len(among) == 0 {
		return -1
	}
	return among[c.rng.IntN(len(among))]
}

// pick goes round the drills that are kept.
func (c *course) pick(turn int, keep func(int) bool) int {
	var among []int
	for i := range c.world.lib.Drills {
		if keep(i) {
			among = append(among, i)
		}
	}
	if len(among) == 0 {
		return -1
	}
	return among[turn%len(among)]
}

// allowed is which drills may be begun: kit there, and what comes first shown.
func (c *course) allowed() []bool {
	out := make([]bool, len(c.world.lib.Drills))
	for i, d := range c.world.lib.Drills {
		kit := !slices.ContainsFunc(d.Kit, func(k practice.Kit) bool { return !slices.Contains(c.student.Kit, k) })
		out[i] = kit && !slices.ContainsFunc(d.Needs, func(n practice.Need) bool { return !slices.ContainsFunc(n.Any, c.shown) })
	}
	return out
}

func (c *course) shown(s practice.Shown) bool {
	switch {
	case s.Drill != "":
		return c.passes[c.world.drill(s.Drill)] >= s.Passes
	case s.Test != "":
		v, tested := c.tested[s.Test]
		p, _ := c.world.lib.Probe(s.Test)
		return tested && p.Ability(v) >= p.Ability(*s.Value)
	}
	return false // proven holds: the plain policies stop at the drills up to 15 s
}
