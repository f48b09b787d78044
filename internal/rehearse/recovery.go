package rehearse

import (
	"math"
	"math/rand/v2"

	"aplomb/internal/assess"
)

// RecoveryReport is how well the truth about drills was found again from a
// roster's logs, which share it.
type RecoveryReport struct {
	Students     int   `json:"students"`
	Weeks        int   `json:"weeks"`
	Drills       int   `json:"drills_told"`
	Difficulties Share `json:"difficulties_within_their_intervals"`
	// Error and Guess are the root mean square of estimate less truth, and of the
	// library's guess less truth, over the drills told, logits.
	Error float64 `json:"rms_error"`
	Guess float64 `json:"rms_error_of_the_guess"`
}

// Recover lets one roster practise in one world and learns from its logs.
func (s Study) Recover(do func(n int, one func(i int)), step func()) (RecoveryReport, error) {
	lib, err := known(s.Library)
	if err != nil {
		return RecoveryReport{}, err
	}
	w := newWorld(lib, s.Params, s.Seed)
	subjects, standings := make([]assess.Subject, s.Students), make([]assess.Standing, s.Students)
	do(s.Students, func(i int) {
		c := enroll(w, s.Policies[0], i, s.Seed)
		for week := range s.Weeks {
			c.week(week)
		}
		c.look(7*s.Weeks - 1)
		subjects[i], standings[i] = c.subject(7*s.Weeks-1), c.last
		step()
	})
	learned, err := assess.Learn(subjects, standings)
	if err != nil {
		return RecoveryReport{}, err
	}
	return w.recovery(s, learned), nil
}

func (w *world) recovery(s Study, learned assess.Learned) RecoveryReport {
	r := RecoveryReport{Students: s.Students, Weeks: s.Weeks}
	var within [2]int
	var off, guess errorSum
	for _, d := range learned.Difficulties {
		if d.Status != "enough" {
			continue
		}
		truth := w.exercises[w.drill(d.Drill)].Difficulty
		count(&within, d.Lo <= truth && truth <= d.Hi)
		off.add(d.Mean - truth)
		guess.add(d.Guess - truth)
	}
	r.Drills, r.Difficulties, r.Error, r.Guess = within[1], shareOf(within), off.rms(), guess.rms()
	return r
}

func randomOf(seed, number uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, number)) }

// errorSum adds up squares.
type errorSum struct {
	squares float64
	n       int
}

func (e *errorSum) add(d float64) {
	e.squares += d * d
	e.n++
}

// rms is the root of their mean, 0 of none.
func (e *errorSum) rms() float64 { return math.Sqrt(e.squares / math.Max(1, float64(e.n))) }
