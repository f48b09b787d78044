package rehearse

import (
	"slices"

	"aplomb/internal/practice"
)

// StallReport is what the watch over progress says of students of whom every
// second one stops learning in week StopsAfter.
type StallReport struct {
	Students   int   `json:"students"`
	StopsAfter int   `json:"stops_after_week"`
	Weeks      int   `json:"weeks"`
	Look       Alarm `json:"look"`
	Act        Alarm `json:"act"`
	// Notices are what the desk noticed until then.
	Notices NoticeReport `json:"notices"`
}

// Alarm is how one of the two bars did.
type Alarm struct {
	// False is the share of student-weeks with the alarm on among those who
	// learn, and WeeksTo how long after the stop it first came on: the median;
	// null: not within the course.
	False   Share `json:"false_alarms"`
	Told    Share `json:"told_within_the_course"`
	WeeksTo *int  `json:"median_weeks_to"`
}

// stallFrom is the first week that is watched: the first weeks of a log are
// mostly prior.
const stallFrom = 8

// Stalls watches students under the study's first policy, week by week.
func (s Study) Stalls(stopsAfter int, do func(n int, one func(i int)), step func()) (StallReport, error) {
	lib, err := known(s.Library)
	if err != nil {
		return StallReport{}, err
	}
	on, told := make([][2][]bool, s.Students), make([][]noticed, s.Students)
	do(s.Students, func(i int) {
		c := enroll(s.world(lib, uint64(i)), s.Policies[0], i, s.Seed)
		seen := map[string]bool{}
		for w := range s.Weeks {
			if stalls(i) && w == stopsAfter {
				c.who.Stop()
			}
			c.week(w)
			c.look(7*w+6, false)
			on[i][0] = append(on[i][0], c.last.Progress.Look)
			on[i][1] = append(on[i][1], c.last.Progress.Act)
			if learns(i, w, stopsAfter) {
				told[i] = append(told[i], c.notices(7*w+6, seen)...)
			}
		}
		step()
	})
	r := StallReport{Students: s.Students, StopsAfter: stopsAfter, Weeks: s.Weeks}
	r.Look, r.Act = alarm(on, 0, stopsAfter), alarm(on, 1, stopsAfter)
	learning := 0
	for i := range on {
		for w := range on[i][0] {
			if learns(i, w, stopsAfter) {
				learning++
			}
		}
	}
	r.Notices = noticeReport(slices.Concat(told...), learning)
	return r, nil
}

// stalls says whether a student stops learning, and learns whether one still
// does in that week.
func stalls(number int) bool                   { return number%2 == 1 }
func learns(number, week, stopsAfter int) bool { return !stalls(number) || week < stopsAfter }

func alarm(on [][2][]bool, bar, stopsAfter int) Alarm {
	var wrong [2]int
	var first []int
	told := 0
	for i, bars := range on {
		for w, alarmed := range bars[bar] {
			if w >= stallFrom && learns(i, w, stopsAfter) {
				count(&wrong, alarmed)
			}
		}
		if !stalls(i) {
			continue
		}
		first = append(first, never)
		for w := stopsAfter; w < len(bars[bar]); w++ {
			if bars[bar][w] {
				first[len(first)-1] = w - stopsAfter + 1
				told++
				break
			}
		}
	}
	return Alarm{False: shareOf(wrong), Told: wilson(told, len(first), .95), WeeksTo: middle(first)}
}

// PassReport is how often a student whose chance never changes was declared
// proven, looked at every day of twelve weeks with two cold tries a day.
type PassReport struct {
	Chance   float64 `json:"chance"`
	Declared Share   `json:"declared"`
}

// passDays is how long such a student is watched.
const passDays = 84

// Passes declares students of fixed chances through the whole way a log takes.
func (s Study) Passes(chances []float64, do func(n int, one func(i int)), step func()) []PassReport {
	declared := make([]bool, len(chances)*s.Students)
	do(len(declared), func(i int) {
		declared[i] = s.fixed(chances[i/s.Students], uint64(i))
		step()
	})
	out := make([]PassReport, len(chances))
	for k, q := range chances {
		n := 0
		for _, d := range declared[k*s.Students : (k+1)*s.Students] {
			if d {
				n++
			}
		}
		out[k] = PassReport{Chance: q, Declared: wilson(n, s.Students, .95)}
	}
	return out
}

// fixed says whether 15 s were ever declared of a student who reaches them with
// this chance, whatever the day.
func (s Study) fixed(chance float64, number uint64) bool {
	rng := randomOf(s.Seed, number)
	c := course{student: practice.Student{ID: "s"}, world: &world{lib: s.Library}}
	for day := range passDays {
		for k := range 2 {
			seconds := 2.0
			if rng.Float64() < chance {
				seconds = Goal + 1
			}
			c.log.Attempts = append(c.log.Attempts, practice.Attempt{ID: "a", Student: "s", At: at(day, float64(k)), Drill: practice.ColdTry,
				Seconds: practice.Known(seconds), Passed: practice.Known(true), Timed: "counted", End: practice.Over})
		}
	}
	c.look(passDays-1, true)
	return c.last.Milestone.ReachedSeconds >= Goal
}
