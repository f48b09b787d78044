package planning

import (
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Input is everything a draft is made from.
type Input struct {
	Student  practice.Student
	Standing assess.Standing
	Library  *practice.Library
	Wishes   []practice.Wish // all of the studio's; those that speak of this student count
	Weeks    []practice.Week // of the student, as handed over
	Week     practice.ISOWeek
	Shared   []string // drills of the group's week, worth a little more
	Settings Settings
}

// For gathers the input of one student for the week after the standing's day.
func For(student practice.Student, standing assess.Standing, lib *practice.Library, wishes []practice.Wish, log *practice.Log) Input {
	in := Input{Student: student, Standing: standing, Library: lib, Wishes: wishes, Weeks: log.Weeks,
		Week: standing.AsOf.NextMonday().Week(), Settings: DefaultSettings()}
	in.Student = moved(student, in.wishes())
	return in
}

// wishes are those for the student and the week: the group's first, then the
// student's own, which go over it: what is kept later is not left out before,
// nor the other way.
func (in *Input) wishes() (out []practice.Wish) {
	for _, own := range []bool{false, true} {
		for _, w := range in.Wishes {
			if w.For(in.Student, in.Week) && (w.Student != "") == own {
				out = overruled(out, w)
			}
		}
	}
	return out
}

// overruled is the wishes before with what w wants otherwise taken out, and w.
func overruled(before []practice.Wish, w practice.Wish) []practice.Wish {
	for i := range before {
		b := &before[i]
		b.Locks = slices.DeleteFunc(slices.Clone(b.Locks), func(l practice.WishLock) bool { return slices.Contains(w.Bans, l.Drill) })
		b.Bans = slices.DeleteFunc(slices.Clone(b.Bans), func(id string) bool {
			return slices.ContainsFunc(w.Locks, func(l practice.WishLock) bool { return l.Drill == id })
		})
	}
	return append(before, w)
}

// lastWeek is the drills of the last week handed over before this one.
func (in *Input) lastWeek() map[string]bool {
	out := map[string]bool{}
	for i := len(in.Weeks) - 1; i >= 0; i-- {
		w := &in.Weeks[i]
		if w.ISOWeek.Monday() >= in.Week.Monday() {
			continue
		}
		for _, s := range w.Sessions {
			for _, b := range s.Blocks {
				for _, it := range b.Items {
					out[it.Drill] = true
				}
			}
		}
		return out
	}
	return out
}

func (in *Input) has(kit practice.Kit) bool { return slices.Contains(in.Student.Kit, kit) }
