package planning

import (
	"slices"

	"aplomb/internal/practice"
)

// moved is the student with the sessions of the week on the days the coach
// moved them to. A move onto a day that keeps a session of its own is left
// where it was: one session a day.
func moved(s practice.Student, wishes []practice.Wish) practice.Student {
	slots := slices.Clone(s.Slots)
	for _, w := range wishes {
		was := slices.Clone(slots)
		for _, m := range w.Moves {
			i := slices.IndexFunc(was, func(slot practice.Slot) bool { return slot.Day == m.From })
			if i >= 0 && !Taken(was, w.Moves, m.To) {
				slots[i].Day = m.To
				slots[i].RidesOn = "" // what it rode on stays on its day
			}
		}
	}
	slices.SortStableFunc(slots, func(a, b practice.Slot) int { return int(a.Day) - int(b.Day) })
	s.Slots = slots
	return s
}

// Taken says whether a session stays on the day when all moves are made.
func Taken(slots []practice.Slot, moves []practice.WishMove, day practice.Weekday) bool {
	return slices.ContainsFunc(slots, func(s practice.Slot) bool { return s.Day == day }) &&
		!slices.ContainsFunc(moves, func(m practice.WishMove) bool { return m.From == day })
}

// cue puts the cues the coach wrote in the place of the drills' own, the
// student's last.
func (in *Input) cue(w *practice.Week) {
	text := map[string]string{}
	for _, wish := range in.wishes() {
		for _, c := range wish.Cues {
			text[c.Drill] = c.Text
		}
	}
	for i := range w.Sessions {
		for j := range w.Sessions[i].Blocks {
			items := w.Sessions[i].Blocks[j].Items
			for k := range items {
				if t := text[items[k].Drill]; t != "" {
					items[k].Cue = t
				}
			}
		}
	}
}
