package telling

import (
	"math"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Wished says what is wanted of a week now that was not before, and the other
// way, a line a thing.
func Wished(b *words.Book, lib *practice.Library, was, is practice.Wish) (out []string) {
	say := func(id string, drills []string) {
		for _, drill := range drills {
			out = append(out, b.Say(id, "drill", DrillName(lib, drill)))
		}
	}
	say("wished.kept", without(locked(is), locked(was)))
	say("wished.free", without(locked(was), locked(is)))
	say("wished.dropped", without(is.Bans, was.Bans))
	say("wished.back", without(was.Bans, is.Bans))
	for _, c := range is.Cues {
		if !slices.Contains(was.Cues, c) {
			out = append(out, b.Say("wished.cue", "drill", DrillName(lib, c.Drill), "text", c.Text))
		}
	}
	if x, y := share(was), share(is); x != y {
		out = append(out, b.Say("wished.minutes", "was", x, "is", y))
	}
	for _, m := range is.Moves {
		if !slices.Contains(was.Moves, m) {
			out = append(out, b.Say("wished.moved", "from", DayName(b, m.From), "to", DayName(b, m.To)))
		}
	}
	return out
}

func locked(w practice.Wish) (ids []string) {
	for _, l := range w.Locks {
		ids = append(ids, l.Drill)
	}
	return ids
}

// share is the minutes a wish asks for, in percent of the usual.
func share(w practice.Wish) int {
	if w.Minutes == nil {
		return 100
	}
	return int(math.Round(100 * *w.Minutes))
}

// without is what of a is not in b.
func without(a, b []string) (out []string) {
	for _, id := range a {
		if !slices.Contains(b, id) {
			out = append(out, id)
		}
	}
	return out
}
