package assess

import (
	"slices"

	"aplomb/internal/practice"
)

// Clock turns the instant of a row into the student's local day.
type Clock func(practice.Instant) practice.Date

// item is one row of a student's log, attempt or tally, in order of time.
type item struct {
	day     practice.Date
	drill   int // place in the library, -1 where the library does not have it
	attempt *practice.Attempt
	tally   *practice.Tally
	before  int  // tries made upside down earlier the same day
	work    int  // tries of any drill made earlier the same day
	fresh   bool // a free try with no other work upside down before it that day
	cold    bool // one of the first two fresh free tries of the day
}

func (it item) at() practice.Instant {
	if it.attempt != nil {
		return it.attempt.At
	}
	return it.tally.At
}

// free says whether the row is of free tries.
func (it *item) free() bool {
	if it.attempt != nil {
		return practice.FreeTry(it.attempt.Drill)
	}
	return practice.FreeTry(it.tally.Drill)
}

// tries is how many tries the row stands for.
func (it *item) tries() int {
	if it.tally != nil {
		return it.tally.Tries
	}
	return 1
}

// index finds drills by id.
type index map[string]int

func indexDrills(lib *practice.Library) index {
	ix := make(index, len(lib.Drills))
	for i := range lib.Drills {
		ix[lib.Drills[i].ID] = i
	}
	return ix
}

func (ix index) of(id string) int {
	if i, ok := ix[id]; ok {
		return i
	}
	return -1
}

// timeline merges attempts and tallies, both in order of time, and counts what
// came before each row on its day. An attempt goes before a tally of the same
// instant: a tally is written down at its set's end.
func timeline(lib *practice.Library, ix index, log *practice.Log, until practice.Date, clock Clock) []item {
	items := make([]item, 0, len(log.Attempts)+len(log.Tallies))
	a, t := 0, 0
	for a < len(log.Attempts) || t < len(log.Tallies) {
		var it item
		if t == len(log.Tallies) || a < len(log.Attempts) && log.Attempts[a].At.UnixNano <= log.Tallies[t].At.UnixNano {
			it = item{attempt: &log.Attempts[a], drill: ix.of(log.Attempts[a].Drill)}
			a++
		} else {
			it = item{tally: &log.Tallies[t], drill: ix.of(log.Tallies[t].Drill)}
			t++
		}
		it.day = clock(it.at())
		if it.day > until {
			continue
		}
		items = append(items, it)
	}
	slices.SortStableFunc(items, func(x, y item) int { return int(x.day) - int(y.day) })
	countBefore(lib, items)
	return items
}

// countBefore fills before and cold, day by day.
func countBefore(lib *practice.Library, items []item) {
	day, inverted, work, other, free := practice.Date(-1<<31), 0, 0, false, 0
	for i := range items {
		it := &items[i]
		if it.day != day {
			day, inverted, work, other, free = it.day, 0, 0, false, 0
		}
		it.before, it.work = inverted, work
		work += it.tries()
		it.fresh = isFresh(it, other)
		it.cold = it.fresh && it.attempt != nil && free < 2
		if n := invertedTries(lib, it); n > 0 {
			inverted += n
			other = other || !it.free()
		}
		if it.free() {
			free += it.tries()
		}
	}
}

// isFresh is the definition: a free try with nothing upside down before it that
// day but other free tries. A row marked not cold is not; a row marked cold
// must be so by the log as well.
func isFresh(it *item, otherInverted bool) bool {
	markedWarm := it.attempt != nil && it.attempt.Cold.Known && !it.attempt.Cold.Value
	return it.free() && !otherInverted && !markedWarm
}

// invertedTries is how many tries upside down the row stands for; a row that
// nothing says was inverted stands for none.
func invertedTries(lib *practice.Library, it *item) int {
	if support := supportOf(lib, it); support == practice.Floor || support == "" {
		return 0
	}
	return it.tries()
}
