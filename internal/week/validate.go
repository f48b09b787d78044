package week

import (
	"fmt"
	"math"
	"unicode/utf8"
)

// What a problem may hold: far beyond any week, and small enough that all
// sums of the program stay exact.
const (
	maxComponents = 50
	maxDrillCount = 2000
	maxSessions   = 14
	maxTime       = 2 * 24 * 60 // half-minutes: one day
	maxWeekTime   = 7 * maxTime
	maxSetCount   = 50
	maxMassing    = 200
	maxFigure     = 10000
	maxPenalty    = 100
	maxNeed       = 1000
)

// Validate refuses a problem that makes no sense: the error is of type
// [Faults] and lists what is wrong with it, twenty faults at most.
func (p Problem) Validate() error {
	v := validator{p: &p, components: map[string]bool{}, drills: map[string]*Drill{}}
	v.componentList()
	v.sessions("long_sessions", p.Long)
	v.sessions("short_sessions", p.Short)
	if len(p.Long) == 0 {
		v.fault("long_sessions", "no long session", "make the student's longest sessions the long ones")
	}
	v.within("hand_minutes_week", int(p.HandWeek), 0, maxWeekTime)
	v.within("max_drills", p.MaxDrills, 0, maxDrillCount)
	v.within("max_drills_long", p.MaxDrillsLong, 0, maxDrillCount)
	v.within("drill_cost", p.DrillCost, -maxFigure, maxFigure)
	v.within("continuity_bonus", p.ContinuityBonus, -maxFigure, maxFigure)
	v.within("mix_penalty", p.MixPenalty, 0, maxPenalty)
	v.massing()
	v.drillList()
	v.wishes()
	if len(v.faults) > 0 {
		return v.faults
	}
	return nil
}

type validator struct {
	p          *Problem
	components map[string]bool
	names, ids []string
	drills     map[string]*Drill
	faults     Faults
}

// maxFaults is the most that one refusal lists.
const maxFaults = 20

func (v *validator) fault(field, problem, remedy string) {
	if len(v.faults) == maxFaults {
		return
	}
	v.faults = append(v.faults, Fault{Field: field, Problem: problem, Remedy: remedy})
}

func (v *validator) within(field string, n, lo, hi int) {
	if n < lo || n > hi {
		v.fault(field, fmt.Sprintf("%d is out of range", n), fmt.Sprintf("give %d to %d", lo, hi))
	}
}

// time is within for lengths of time, told in minutes.
func (v *validator) time(field string, h HalfMinutes, lo HalfMinutes) {
	if h < lo || h > maxTime {
		v.fault(field, fmt.Sprintf("%g minutes is out of range", h.Minutes()),
			fmt.Sprintf("give %g to %g minutes", lo.Minutes(), HalfMinutes(maxTime).Minutes()))
	}
}

// count refuses a list that is too long.
func (v *validator) count(field string, n, most int) {
	if n > most {
		v.fault(field, fmt.Sprintf("%d entries", n), fmt.Sprintf("give at most %d", most))
	}
}

// word refuses a name that is empty or too long.
func (v *validator) word(field, word string) {
	if n := utf8.RuneCountInString(word); n == 0 || n > longestWord {
		v.fault(field, fmt.Sprintf("%d characters", n), fmt.Sprintf("give 1 to %d", longestWord))
	}
}

// unknown refuses a word that is not among the known ones.
func (v *validator) unknown(field, what, word string, known []string) {
	if len(v.faults) < maxFaults {
		v.fault(field, fmt.Sprintf("unknown %s %q", what, shorten(word)), didYouMean(word, known))
	}
}

func (v *validator) componentList() {
	v.count("components", len(v.p.Components), maxComponents)
	for i, c := range v.p.Components {
		field := fmt.Sprintf("components[%d]", i)
		v.word(field+".name", c.Name)
		if v.components[c.Name] {
			v.fault(field+".name", fmt.Sprintf("%q is listed twice", c.Name), "keep one")
		}
		v.components[c.Name] = true
		v.names = append(v.names, c.Name)
		if !(c.Need >= 0 && c.Need <= maxNeed) {
			v.fault(field+".need", fmt.Sprintf("%g is out of range", c.Need), fmt.Sprintf("give 0 to %d", maxNeed))
		}
		if !(c.Tau > 0) || math.IsInf(c.Tau, 0) {
			v.fault(field+".tau", fmt.Sprintf("%g is not a positive number of sets", c.Tau), "give a number above 0")
		}
	}
}

func (v *validator) sessions(list string, sessions []Session) {
	v.count(list, len(sessions), maxSessions)
	for i, s := range sessions {
		field := fmt.Sprintf("%s[%d]", list, i)
		v.within(field+".day", s.Day, 0, 6)
		v.time(field+".minutes", s.Minutes, 1)
		v.time(field+".hand_minutes", s.Hand, 0)
	}
}

func (v *validator) massing() {
	m := v.p.Massing
	v.count("massing", len(m), maxMassing)
	if len(m) == 0 || m[0] != 0 {
		v.fault("massing", "must start with 0", "begin with the worth of no set, 0")
	}
	for i, n := range m {
		field := fmt.Sprintf("massing[%d]", i)
		v.within(field, n, 0, 100*maxMassing)
		if i > 0 && n < m[i-1] {
			v.fault(field, fmt.Sprintf("%d falls below %d", n, m[i-1]), "one more set is never worth less")
		}
	}
}

func (v *validator) drillList() {
	v.count("drills", len(v.p.Drills), maxDrillCount)
	for i := range v.p.Drills {
		d := &v.p.Drills[i]
		field := fmt.Sprintf("drills[%d]", i)
		v.word(field+".id", d.ID)
		if v.drills[d.ID] != nil {
			v.fault(field+".id", fmt.Sprintf("%q is used twice", d.ID), "give each drill its own id")
		}
		v.drills[d.ID] = d
		v.ids = append(v.ids, d.ID)
		v.drill(field, d)
	}
}

func (v *validator) drill(field string, d *Drill) {
	if !v.components[d.Component] {
		v.unknown(field+".component", "component", d.Component, v.names)
	}
	if d.Kind != Easy && d.Kind != Challenge && d.Kind != Strength {
		v.unknown(field+".kind", "kind", string(d.Kind), []string{string(Easy), string(Challenge), string(Strength)})
	}
	v.time(field+".set_minutes", d.Set, 1)
	v.time(field+".setup_minutes", d.Setup, 0)
	v.time(field+".hand_minutes", d.Hand, 0)
	v.within(field+".value", d.Value, 0, maxFigure)
	v.within(field+".min_sets", d.MinSets, 1, maxSetCount)
	v.within(field+".max_sets", d.MaxSets, 1, maxSetCount)
	if d.MaxSets < d.MinSets {
		v.fault(field+".max_sets", fmt.Sprintf("%d is under min_sets %d", d.MaxSets, d.MinSets), "give at least min_sets")
	}
	v.within(field+".week_sets", d.WeekSets, 0, maxSetCount*2*maxSessions)
	v.within(field+".bonus", d.Bonus, -maxFigure, maxFigure)
}

func (v *validator) wishes() {
	v.count("locks", len(v.p.Locks), maxDrillCount)
	v.count("bans", len(v.p.Bans), 10*maxDrillCount)
	banned, locked := map[string]bool{}, map[string]bool{}
	for i, id := range v.p.Bans {
		banned[id] = true
		if v.drills[id] == nil {
			v.unknown(fmt.Sprintf("bans[%d]", i), "drill", id, v.ids)
		}
	}
	for i, l := range v.p.Locks {
		field := fmt.Sprintf("locks[%d]", i)
		d := v.drills[l.Drill]
		switch {
		case d == nil:
			v.unknown(field+".drill", "drill", l.Drill, v.ids)
			continue
		case banned[l.Drill]:
			v.fault(field+".drill", fmt.Sprintf("%q is both locked and banned", l.Drill), "drop the lock or the ban")
		case locked[l.Drill]:
			v.fault(field+".drill", fmt.Sprintf("a second lock on %q", l.Drill), "keep one")
		}
		locked[l.Drill] = true
		if l.Sets != 0 && (l.Sets < d.MinSets || l.Sets > d.MaxSets) {
			v.fault(field+".sets", fmt.Sprintf("%d sets of %q, which takes %d to %d", l.Sets, l.Drill, d.MinSets, d.MaxSets),
				"lock it within its range, or 0 for any dose")
		}
	}
}
