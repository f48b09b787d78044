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

// wishes are those that speak of this student and week, the group's first.
func (in *Input) wishes() (out []practice.Wish) {
	for _, w := range in.Wishes {
		if w.For(in.Student, in.Week) && w.Group != "" {
			out = append(out, w)
		}
	}
	for _, w := range in.Wishes {
		if w.For(in.Student, in.Week) && w.Student != "" {
			out = append(out, w)
		}
	}
	return out
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
