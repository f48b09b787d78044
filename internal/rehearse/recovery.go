package rehearse

import (
	"math"
	"math/rand/v2"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
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

// Recover lets one roster practise in one world under the study's first policy and
// learns from its logs. It returns what was found again and the library with what
// its milestones ask as the logs tell it.
func (s Study) Recover(do func(n int, one func(i int)), step func()) (RecoveryReport, *practice.Library, error) {
	lib, err := known(s.Library)
	if err != nil {
		return RecoveryReport{}, nil, err
	}
	w := s.world(lib, 0)
	subjects, standings := make([]assess.Subject, s.Students), make([]assess.Standing, s.Students)
	do(s.Students, func(i int) {
		c := enroll(w, s.Policies[0], i, s.Seed)
		for week := range s.Weeks {
			c.week(week)
		}
		c.look(7*s.Weeks-1, true)
		subjects[i], standings[i] = c.subject(7*s.Weeks-1), c.last
		step()
	})
	learned, err := assess.Learn(subjects, standings)
	if err != nil {
		return RecoveryReport{}, nil, err
	}
	return w.recovery(s, learned), withAsks(s.Library, learned.Milestones), nil
}

// withAsks is the library with learned asks in the place of its guesses, some of
// them beyond what their test can show.
func withAsks(lib *practice.Library, told []assess.MilestoneTold) *practice.Library {
	out := *lib
	out.Milestones = nil
	for _, m := range lib.Milestones {
		m.Asks = slices.Clone(m.Asks)
		for i := range m.Asks {
			for _, t := range told {
				for _, a := range t.Asks {
					if p, ok := lib.Probe(a.Test); ok && t.Seconds == m.Seconds && a.Test == m.Asks[i].Test {
						m.Asks[i].Value = assess.ValueAt(p, a.Mean)
					}
				}
			}
		}
		out.Milestones = append(out.Milestones, m)
	}
	return &out
}

// AfterReport is the first policy once what milestones ask was learned from a
// roster of other students.
type AfterReport struct {
	Students int        `json:"students"`
	Median   *int       `json:"weeks_median"`
	Within   Share      `json:"within_the_course"`
	Against  Difference `json:"before_less_after"` // mean weeks with the guesses less those with what was learned
	Limiter  LimiterSum `json:"limiter"`
}

// After runs the first policy again, for the first students of what was run
// before with the library's guesses, with a library that has learned.
func (s Study) After(before Outcome, learned *practice.Library, do func(n int, one func(i int)), step func()) (AfterReport, error) {
	s.Library, s.Policies = learned, s.Policies[:1]
	outcomes, err := s.Run(do, step)
	if err != nil {
		return AfterReport{}, err
	}
	p := s.Summarise(outcomes).Policies[0]
	return AfterReport{Students: s.Students, Median: p.Median, Within: p.Within, Limiter: p.Limiter,
		Against: paired(before.Records[:s.Students], outcomes[0].Records, s.Weeks)}, nil
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
