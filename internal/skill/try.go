package skill

import "math"

// floorBeyond is the least time beyond the first second, s: an exact hold of 1 s
// would otherwise sit at ln 0. Bounds of an interval are not floored.
const floorBeyond = .1

// Try is one try of a hold-measured drill. A try left out of the catch
// denominator (touched or hurt before 1 s) is not a Try: leave it out here too.
type Try struct {
	Caught  bool    // held for 1 s or more
	Seconds float64 // how long, at least 1; 0 when a catch was not timed
	Half    float64 // a hold that fell lasted Seconds ± Half; 0 is exact; a censored time is taken as it is
	Fell    bool    // an event ended it; otherwise the hold is right-censored at Seconds
	Index   int     // which try of the day, from 1
	Cold    bool    // the day's tries began cold (the offset fades with Index)
}

// Tally is a set of which only the counts and the best two holds were kept. The
// best two are taken as ended by falls: a tally does not say.
type Tally struct {
	Tries, Caught int
	Best, Second  float64 // seconds, Best >= Second >= 1; 0 when not noted
	Half          float64 // doubt of both, as in Try
	First         int     // index of its first try in the day, from 1
	Cold          bool    // the day's tries began cold
}

// Try folds one try in. Panics on a hold under 1 s called caught, an index
// under 1, or a negative or undefined time.
func (h *Headline) Try(t Try) {
	check(t.Index >= 1, "the index of a try counts from 1")
	check(t.Half >= 0 && !math.IsInf(t.Half, 1), "a timing doubt is finite and not negative")
	caught := 0
	if t.Caught {
		caught = 1
		check(t.Seconds == 0 || t.Seconds >= 1 && !math.IsInf(t.Seconds, 1), "a caught try lasts 1 s or more")
	}
	s := set{cold: coldness(t.Index, t.Cold), tired: tiredness(t.Index), tries: 1, caught: caught}
	s.timed = t.Caught && t.Seconds > 0
	for i, l := range laws {
		s.hold[i] = logistic{scale: l.scale}
		if s.timed {
			s.hold[i].try(l, t)
		}
	}
	if s.timed && !t.Fell {
		h.censored++
	}
	h.fold(&s)
}

// try adds the hold of a caught and timed try.
func (l *logistic) try(of law, t Try) {
	if !t.Fell {
		l.add(of.link(t.Seconds), 0, 1)
		return
	}
	l.between(of.span(t.Seconds, t.Half))
}

// Tally folds in a set of tries known by its counts and best two holds: a
// binomial count of catches at the set's mean cold and fatigue, and the best two
// of the n caught as order statistics, n!/(n-2)! f(t1) f(t2) F(t2)^(n-2). With
// the best alone it is n f(t1) F(t1)^(n-1). A rounded time enters as its
// interval in f and as its middle in F. Panics on counts or times that
// contradict each other.
func (h *Headline) Tally(t Tally) {
	t.validate()
	s := set{tries: t.Tries, caught: t.Caught, timed: t.Best > 0}
	for i := range t.Tries {
		s.cold += coldness(t.First+i, t.Cold)
		s.tired += tiredness(t.First + i)
	}
	s.cold /= float64(t.Tries)
	s.tired /= float64(t.Tries)
	for i, l := range laws {
		s.hold[i] = logistic{scale: l.scale}
		if s.timed {
			s.hold[i].tally(l, t)
		}
	}
	h.fold(&s)
}

// tally adds the best holds of a set. The factors n!/(n-2)! and n are left out:
// they are the same for every state and member.
func (l *logistic) tally(of law, t Tally) {
	l.between(of.span(t.Best, t.Half))
	least, rest := t.Best, t.Caught-1
	if t.Second > 0 {
		l.between(of.span(t.Second, t.Half))
		least, rest = t.Second, t.Caught-2
	}
	if rest > 0 {
		l.add(of.exact(least), float64(rest), 0)
	}
}

func (t Tally) validate() {
	check(t.Tries >= 1 && t.Caught >= 0 && t.Caught <= t.Tries, "a tally has 1 or more tries and no more caught than tried")
	check(t.First >= 1, "the index of a try counts from 1")
	check(t.Half >= 0 && !math.IsInf(t.Half, 1), "a timing doubt is finite and not negative")
	check(t.Best == 0 || t.Caught >= 1 && t.Best >= 1 && !math.IsInf(t.Best, 1), "a best hold lasts 1 s or more and was caught")
	check(t.Second == 0 || t.Caught >= 2 && t.Second >= 1 && t.Second <= t.Best, "a second best hold lasts between 1 s and the best, of two or more caught")
}

// set is what the bank needs of a try or a tally.
type set struct {
	cold, tired   float64
	tries, caught int
	timed         bool
	hold          [len(laws)]logistic // by law
}

// fold gives a set to every member and re-weights the bank.
func (h *Headline) fold(s *set) {
	catch := binomial(float64(s.tries), float64(s.caught)).tempered()
	kept := math.Pow(memory, float64(s.tries))
	var caught, held [bankSize]step
	for i := range h.bank {
		m := &h.bank[i]
		caught[i] = observe(m, predictor{catching, coldCatching, tiredCatching, s.cold, s.tired}, catch)
		if s.timed {
			held[i] = observe(m, predictor{holding, coldHolding, tiredHolding, s.cold, s.tired}, s.hold[m.law].tempered())
		}
		m.logWeight = kept*m.logWeight + caught[i].evidence + held[i].evidence
	}
	h.rescale()
	h.tries += s.tries
	h.week.tries += s.tries
	weights := h.weights()
	h.week.catch.add(&weights, &caught)
	if s.timed {
		h.week.hold.add(&weights, &held)
	}
}

// rescale keeps the log weights near 0, where they lose no digits.
func (h *Headline) rescale() {
	top := math.Inf(-1)
	for i := range h.bank {
		top = math.Max(top, h.bank[i].logWeight)
	}
	for i := range h.bank {
		h.bank[i].logWeight -= top
	}
}

// predictor is base + cold·state + tired·state.
type predictor struct {
	base, coldAt, tiredAt int
	cold, tired           float64
}

// observe folds a likelihood of a predictor into a member.
func observe(m *member, x predictor, l logistic) step {
	var a [states]float64
	for i := range a {
		row := m.p[i*states : (i+1)*states]
		a[i] = row[x.base] + x.cold*row[x.coldAt] + x.tired*row[x.tiredAt]
	}
	mean := m.m[x.base] + x.cold*m.m[x.coldAt] + x.tired*m.m[x.tiredAt]
	s := laplace(mean, a[x.base]+x.cold*a[x.coldAt]+x.tired*a[x.tiredAt], l)
	fold(m.m[:], m.p[:], a[:], s)
	return s
}
