package logbook

import (
	"math"
	"time"

	"aplomb/internal/practice"
)

// A phone's clock that is off by less than this counts as right: the way there
// and back is in the difference too. Common practice, no source.
const rightWithin = 120 * time.Second

// oldest is how old an entry may be: an older one was timed by a clock nobody
// set.
const oldest = 400 * 24 * time.Hour

// shiftOf is how many seconds an entry of that phone time is to be moved: by
// how far the phone's clock was off as it sent, and never past now, where its
// clock was set since.
func shiftOf(at, phoneNow, now practice.Instant) int {
	shift := 0
	if off := time.Duration(now.UnixNano - phoneNow.UnixNano); off.Abs() >= rightWithin {
		shift = int(math.Round(off.Seconds()))
	}
	if moved(at, shift).UnixNano > now.UnixNano+int64(rightWithin) {
		shift = int(math.Floor(time.Duration(now.UnixNano - at.UnixNano).Seconds()))
	}
	return shift
}

// moved is the time so many seconds on, as the same clock would show it.
func moved(at practice.Instant, seconds int) practice.Instant {
	at.UnixNano += int64(seconds) * int64(time.Second)
	return at
}

// timely is the fault of a time that cannot be, or nil.
func timely(at, now practice.Instant) *practice.Fault {
	if age := time.Duration(now.UnixNano - at.UnixNano); age <= oldest && age >= -rightWithin {
		return nil
	}
	return &practice.Fault{Code: practice.OutOfRange, Field: "at", Value: at.String(), Want: "a time of the last year: set the phone's clock"}
}
