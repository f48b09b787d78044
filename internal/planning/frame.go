package planning

import (
	"math"
	"slices"

	"aplomb/internal/practice"
)

// frame is one session's minutes: what is fixed and what is left to practise.
type frame struct {
	slot     practice.Slot
	total    float64
	fixed    Fixed
	practice float64 // a multiple of a half
	long     bool
	handsOff bool // a day without work on the hands: stretching only
}

// frames are the sessions of the week in order of the days: away days left
// out, minutes scaled, the shortest turned into stretching where otherwise no
// day would be without work on the hands.
func (in *Input) frames(share float64, tries, stretch bool) []frame {
	var out []frame
	for _, slot := range in.Student.Slots {
		if in.Student.AwayOn(in.Week.Monday() + practice.Date(slot.Day)) {
			continue
		}
		out = append(out, in.frame(slot, share, tries, stretch))
	}
	slices.SortStableFunc(out, func(a, b frame) int { return int(a.slot.Day - b.slot.Day) })
	restDays(out, in.Settings)
	if !stretch { // nothing is left of a day without work on the hands
		out = slices.DeleteFunc(out, func(f frame) bool { return f.handsOff })
	}
	markLong(out, in.Settings.LongFrom)
	return out
}

func (in *Input) frame(slot practice.Slot, share float64, tries, stretch bool) frame {
	set := in.Settings
	f := frame{slot: slot, total: math.Round(float64(slot.Minutes) * share)}
	f.fixed = set.Small
	if f.total >= set.FullFrom {
		f.fixed = set.Full
	}
	if !tries {
		f.fixed.Cold, f.fixed.Tries = 0, 0
	}
	if !stretch {
		f.fixed.Stretch = 0
	}
	f.fixed = f.fixed.within(f.total)
	f.practice = math.Max(0, math.Floor(2*(f.total-f.fixed.total()))/2)
	return f
}

// restDays takes the work on the hands out of the shortest sessions, the last
// of equals first, until enough days are without.
func restDays(frames []frame, set Settings) {
	for days := len(frames); days > 7-set.RestDays; days-- {
		shortest := -1
		for i := range frames {
			if !frames[i].handsOff && (shortest < 0 || frames[i].total <= frames[shortest].total) {
				shortest = i
			}
		}
		f := &frames[shortest]
		f.handsOff = true
		f.practice = 0
		f.fixed = Fixed{Stretch: f.total - set.Small.Log, Log: set.Small.Log}
	}
}

// markLong marks the long sessions: those with enough practice minutes, or
// where there are none, the longest there are, to within a quarter.
func markLong(frames []frame, from float64) {
	longest := 0.0
	for i := range frames {
		longest = math.Max(longest, frames[i].practice)
	}
	if longest < from {
		from = 0.75 * longest
	}
	for i := range frames {
		frames[i].long = frames[i].practice > 0 && frames[i].practice >= from
	}
}
