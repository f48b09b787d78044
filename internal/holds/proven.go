package holds

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"gonum.org/v1/gonum/mathext"
)

// ColdTry is one cold try at a milestone. It passes when it lasts the milestone's
// seconds, whatever its end; lowered sooner it has failed; with pain or a spot
// sooner it is no try. Holds on blocks or parallettes are no tries at the floor.
type ColdTry struct {
	Day    int    // the student's local day, counted from any fixed day
	Place  string // where, as logged; empty is unknown
	Passed bool
}

// Bar is what cold tries must show for a milestone to be proven. It is the
// studio's to edit; [OperatingCurve] tells what it lets through.
type Bar struct {
	WindowDays int     // tries this recent count, today among them
	MinDays    int     // on at least so many different days
	Confidence float64 // of the lower bound, one-sided
	Floor      float64 // that the lower bound of q must reach
}

// StandardBar asks for a 97.5% lower bound of .70 from tries on five days of the
// last three weeks: 10 of 10, 15 of 16, 19 of 21, 22 of 24.
var StandardBar = Bar{WindowDays: 21, MinDays: 5, Confidence: .975, Floor: .70}

// Errors of the data of a proof.
var (
	ErrBar   = errors.New("holds: not a bar that can be met")
	ErrOrder = errors.New("holds: cold tries out of time order")
)

// Check returns an error wrapping [ErrBar] that says which figure is wrong.
func (b Bar) Check() error {
	switch {
	case b.WindowDays < 1:
		return fmt.Errorf("%w: a window of %d days; give 1 or more", ErrBar, b.WindowDays)
	case b.MinDays < 1 || b.MinDays > b.WindowDays:
		return fmt.Errorf("%w: at least %d days in a window of %d; give 1 to %d", ErrBar, b.MinDays, b.WindowDays, b.WindowDays)
	case !(b.Confidence > 0 && b.Confidence < 1):
		return fmt.Errorf("%w: confidence %v; give a number between 0 and 1", ErrBar, b.Confidence)
	case !(b.Floor > 0 && b.Floor < 1):
		return fmt.Errorf("%w: floor %v; give a number between 0 and 1", ErrBar, b.Floor)
	}
	return nil
}

// Proof is what the cold tries of the window show.
type Proof struct {
	Tries      int
	Passes     int
	Days       int      // different days with a try
	Places     []string // different known places, in the order first seen
	LowerBound float64  // of q = P(one cold try passes), at the bar's confidence
	Declared   bool     // the bar is met today
	Missing    Missing
}

// Missing is what would still have to happen, while no try leaves the window.
type Missing struct {
	Days   int // more days with a try
	Passes int // fewest further tries, all passed, that lift the lower bound to the floor
}

// LowerBound is the one-sided lower credible bound of a chance after passes of
// tries, with the prior Beta(1, 1): the (1 - confidence) quantile of Beta(passes+1,
// tries-passes+1). Of no tries it is the prior's, 1 - confidence.
func LowerBound(passes, tries int, confidence float64) float64 {
	if passes < 0 || passes > tries {
		panic(fmt.Sprintf("holds: %d of %d tries", passes, tries))
	}
	checkOpen("confidence", confidence)
	return mathext.InvRegIncBeta(float64(passes+1), float64(tries-passes+1), 1-confidence)
}

// Judge looks at the tries of the window that ends today; later ones are left
// out. The tries are taken as independent with one chance q over the window; two
// of one day are worth less than that, which is what MinDays is for. ErrBar for a
// bar that cannot be met, ErrOrder where the days go backwards.
func (b Bar) Judge(tries []ColdTry, today int) (Proof, error) {
	if err := b.checkTries(tries); err != nil {
		return Proof{}, err
	}
	var p Proof
	last := 0
	for _, t := range tries {
		if t.Day > today || t.Day <= today-b.WindowDays {
			continue
		}
		if p.Tries == 0 || t.Day != last {
			p.Days++
		}
		last = t.Day
		p.Tries++
		if t.Passed {
			p.Passes++
		}
		if t.Place != "" && !slices.Contains(p.Places, t.Place) {
			p.Places = append(p.Places, t.Place)
		}
	}
	p.LowerBound = LowerBound(p.Passes, p.Tries, b.Confidence)
	p.Missing = Missing{Days: max(0, b.MinDays-p.Days), Passes: b.furtherPasses(p.Passes, p.Tries)}
	p.Declared = p.Missing == Missing{}
	return p, nil
}

func (b Bar) checkTries(tries []ColdTry) error {
	if err := b.Check(); err != nil {
		return err
	}
	for i := 1; i < len(tries); i++ {
		if tries[i].Day < tries[i-1].Day {
			return fmt.Errorf("%w: try %d is of day %d, the one before of day %d", ErrOrder, i+1, tries[i].Day, tries[i-1].Day)
		}
	}
	return nil
}

func (b Bar) meets(passes, tries int) bool {
	return LowerBound(passes, tries, b.Confidence) >= b.Floor
}

// furtherPasses is found by doubling and halving: passes only ever lift the bound.
func (b Bar) furtherPasses(passes, tries int) int {
	if b.meets(passes, tries) {
		return 0
	}
	short, enough := 0, 1
	for !b.meets(passes+enough, tries+enough) {
		short, enough = enough, 2*enough
		if enough > math.MaxInt32 {
			return enough
		}
	}
	for enough-short > 1 {
		if k := (short + enough) / 2; b.meets(passes+k, tries+k) {
			enough = k
		} else {
			short = k
		}
	}
	return enough
}

// Declared is the first day, up to and with through, at whose end the bar is met
// when it is looked at every day; false where there is none. Errors as [Bar.Judge].
func (b Bar) Declared(tries []ColdTry, through int) (day int, ok bool, err error) {
	if err := b.checkTries(tries); err != nil || len(tries) == 0 {
		return 0, false, err
	}
	day, ok = b.watch(tries, through, map[[2]int]bool{})
	return day, ok, nil
}

// watch slides the window day by day; met remembers which counts meet the bar.
func (b Bar) watch(tries []ColdTry, through int, met map[[2]int]bool) (day int, ok bool) {
	from, to, passes := 0, 0, 0
	for day = tries[0].Day; day <= through; day++ {
		for ; to < len(tries) && tries[to].Day <= day; to++ {
			passes += count(tries[to].Passed)
		}
		for ; from < to && tries[from].Day <= day-b.WindowDays; from++ {
			passes -= count(tries[from].Passed)
		}
		if days(tries[from:to]) < b.MinDays {
			continue
		}
		key := [2]int{passes, to - from}
		enough, known := met[key]
		if !known {
			enough = b.meets(passes, to-from)
			met[key] = enough
		}
		if enough {
			return day, true
		}
	}
	return 0, false
}

func count(b bool) int {
	if b {
		return 1
	}
	return 0
}

// days counts the different days of tries in time order.
func days(tries []ColdTry) int {
	n := 0
	for i, t := range tries {
		if i == 0 || t.Day != tries[i-1].Day {
			n++
		}
	}
	return n
}
