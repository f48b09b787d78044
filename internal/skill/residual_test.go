package skill

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"aplomb/internal/numtest"
)

// While the model holds, weekly residuals have mean 0, sd 1 and no lag-1
// correlation.
func TestWeeklyResiduals(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 13))
	var n, sum, squares, cross, pairs float64
	for range 150 {
		h, s := NewHeadline(), newTruth(rng)
		last := math.NaN()
		for range 30 {
			s.week(&h, 6)
			r, err := h.CloseWeek()
			if err != nil || r.Tries != 24 {
				t.Fatal(r, err)
			}
			n++
			sum += r.Z
			squares += r.Z * r.Z
			if !math.IsNaN(last) {
				cross += last * r.Z
				pairs++
			}
			last = r.Z
		}
	}
	mean, variance := sum/n, squares/n
	t.Logf("mean %+.3f, sd %.3f, lag-1 %+.3f over %g weeks", mean, math.Sqrt(variance), cross/pairs/variance, n)
	numtest.Close(t, "mean", mean, 0, .06)
	numtest.Close(t, "sd", math.Sqrt(variance), 1.07, .06) // the lag adds to it
	numtest.Close(t, "lag-1", cross/pairs/variance, .14, .05)
}

// In a bank that agrees with itself and has no doubt but the try's own, one
// catch gives (y - p)/sqrt(p(1-p)).
func TestResidualOfOneCatch(t *testing.T) {
	h := NewHeadline()
	for i := range h.bank {
		h.bank[i].p = [states * states]float64{}
		h.bank[i].p[0] = 1e-9
		h.bank[i].m = [states]float64{catching: .7}
	}
	h.Try(Try{Index: 1})
	r, err := h.CloseWeek()
	if err != nil {
		t.Fatal(err)
	}
	p := sigmoid(.7)
	numtest.Close(t, "z", r.Z, -p/math.Sqrt(p*(1-p)), 1e-6)
	if _, err := h.CloseWeek(); !errors.Is(err, ErrNoTries) {
		t.Errorf("an empty week: %v", err)
	}
}

// Students who obey the model raise a look about as seldom as stated; those who
// lose a fifth of a logit a week from week 20 on are found sooner.
func TestStallOnSimulatedStudents(t *testing.T) {
	rng := rand.New(rand.NewPCG(17, 17))
	first := func(loss float64) float64 {
		const students, weeks = 120, 40
		looks := 0
		for range students {
			h, s, stall := NewHeadline(), newTruth(rng), NewStall()
			for w := range weeks {
				if w >= 20 {
					s.x[catching] -= loss
					s.x[holding] -= loss
				}
				s.week(&h, 6)
				r, err := h.CloseWeek()
				if err != nil {
					t.Fatal(err)
				}
				if w == 19 {
					stall.Reset()
				}
				if stall.Add(r.Z) != Quiet && w >= 20 {
					looks++
					break
				} else if w < 20 {
					stall.Reset()
				}
			}
		}
		return float64(looks) / students
	}
	quiet, losing := first(0), first(.2)
	t.Logf("a look within 20 weeks: %.0f%% of those on course, %.0f%% of those losing .2 logit a week", 100*quiet, 100*losing)
	if quiet > .55 || losing < .75 { // 20 of a run of 39 weeks: about 36%
		t.Errorf("on course %.2f, losing %.2f", quiet, losing)
	}
}
