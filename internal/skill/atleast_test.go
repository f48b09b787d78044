package skill

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"aplomb/internal/numtest"
)

// practised is a student after some weeks of the model's own tries.
func practised(seed uint64, weeks int) Headline {
	h, s := NewHeadline(), newTruth(rand.New(rand.NewPCG(seed, 1)))
	for range weeks {
		s.week(&h, 6)
	}
	return h
}

// draws are chances drawn from the whole state of the bank by brute force.
func draws(h *Headline, seconds, cold float64, n int) []float64 {
	rng := rand.New(rand.NewPCG(2, 2))
	var out []float64
	for i, share := range h.share(n) {
		m := h.bank[i]
		root := m.p
		cholesky(root[:], states)
		for range share {
			x, u := m.m, [states]float64{}
			for j := range u {
				u[j] = rng.NormFloat64()
			}
			for j := range x {
				for k := range j + 1 {
					x[j] += root[j*states+k] * u[k]
				}
			}
			p := sigmoid(x[catching] + cold*x[coldCatching])
			if seconds > 1 {
				p *= sigmoid((x[holding] + cold*x[coldHolding] - laws[m.law].link(seconds)) / laws[m.law].scale)
			}
			out = append(out, p)
		}
	}
	slices.Sort(out)
	return out
}

func TestAtLeastAgainstDraws(t *testing.T) {
	const n = 100000
	for seed, weeks := range []int{0, 1, 12, 40} {
		h := practised(uint64(seed), weeks)
		h.days += 1000 // no pad
		for _, seconds := range []float64{1, 1.2, 5, 15, 60} {
			p := draws(&h, seconds, 1, n)
			rank := func(x float64) float64 { i, _ := slices.BinarySearch(p, x); return float64(i) / n }
			var mean float64
			for _, x := range p {
				mean += x / n
			}
			for _, level := range []float64{.5, .8, .95} {
				iv := h.AtLeast(seconds, true, level)
				numtest.Close(t, "P", iv.P, mean, 3e-3)
				numtest.Close(t, "level below Lo", rank(iv.Lo), (1-level)/2, 5e-3)
				numtest.Close(t, "level below Hi", rank(iv.Hi), (1+level)/2, 5e-3)
			}
		}
	}
}

// The pad is .05 for six weeks, and stays within 0 and 1.
func TestPad(t *testing.T) {
	h := practised(3, padWeeks-1)
	early := h.AtLeast(5, true, .8)
	h.days = 7 * padWeeks
	late := h.AtLeast(5, true, .8)
	numtest.Close(t, "Lo", early.Lo, math.Max(0, late.Lo-.05), 1e-12)
	numtest.Close(t, "Hi", early.Hi, math.Min(1, late.Hi+.05), 1e-12)
	if early.P != late.P || early.Method == late.Method || late.N != (padWeeks-1)*24 || late.Level != .8 {
		t.Errorf("early %+v, late %+v", early, late)
	}
}

func TestUpToASecondItIsTheCatch(t *testing.T) {
	h := practised(4, 4)
	a, b, c := h.AtLeast(0, false, .8), h.AtLeast(1, false, .8), h.AtLeast(1+1e-9, false, .8)
	numtest.Close(t, "0 and 1 s", a.P, b.P, 0)
	numtest.Close(t, "just over", b.P, c.P, 1e-6)
	numtest.Close(t, "just over, Lo", b.Lo, c.Lo, 1e-2)
	numtest.Close(t, "just over, Hi", b.Hi, c.Hi, 1e-2)
}

// Days without a try widen every interval; a copy goes its own way.
func TestTimeWidens(t *testing.T) {
	h := practised(5, 12)
	away := h
	away.Advance(60)
	for _, s := range []float64{1, 5, 15} {
		a, b := h.AtLeast(s, true, .8), away.AtLeast(s, true, .8)
		if b.Hi-b.Lo <= a.Hi-a.Lo {
			t.Errorf("%g s: %.3f before, %.3f after", s, a.Hi-a.Lo, b.Hi-b.Lo)
		}
	}
}

func TestTrapezoid(t *testing.T) {
	var zero, two, four float64
	for i, u := range fine.at {
		zero += fine.weight[i]
		two += fine.weight[i] * u * u
		four += fine.weight[i] * u * u * u * u
	}
	numtest.Close(t, "mass", zero, 1, 1e-14)
	numtest.Close(t, "variance", two, 1, 1e-4) // cut at 5 sd
	numtest.Close(t, "fourth moment", four, 3, 2e-3)
	numtest.Close(t, "E sigmoid(0 + Z)", meanSigmoid(0, 1), .5, 1e-14)
}
