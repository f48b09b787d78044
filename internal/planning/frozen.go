package planning

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"aplomb/internal/practice"
)

// Handed is every week handed over to a student, oldest first, versions in
// order.
func (b *Bench) Handed(ctx context.Context, who practice.Who, student string) ([]practice.Week, error) {
	if err := b.gate.May(ctx, who, practice.SeeStudent, student); err != nil {
		return nil, err
	}
	kept, err := b.store.Weeks(ctx, who, student)
	out := make([]practice.Week, len(kept))
	for i, k := range kept {
		out[i] = k.Value
	}
	return out, err
}

// Frozen is a handed-over week as a draft is read: its floor tests, and which
// drills were easy and which a challenge. Nothing is worked out anew.
func Frozen(w practice.Week) (Draft, error) {
	d := Draft{Week: w, Reasons: map[string]Reason{}}
	if len(w.Problem) > 0 {
		if err := json.Unmarshal(w.Problem, &d.Problem); err != nil {
			return d, practice.Fault{Code: practice.StoreBroken, Field: "problem", Err: fmt.Errorf("planning: %w", err)}
		}
	}
	for _, drill := range d.Problem.Drills {
		d.Reasons[drill.ID] = Reason{Kind: drill.Kind}
	}
	for _, t := range w.Tests {
		one := FloorTest{ID: t.Test, Day: t.Day, Minutes: t.Minutes, Worth: t.Worth, Cost: t.Cost}
		copy(one.Between[:], t.Between)
		d.Tests = append(d.Tests, one)
	}
	return d, nil
}

// Differs is how one week differs from another.
type Differs struct {
	Added, Dropped []practice.Item // drills, each by its first item
	Doses, Cues    []Changed
	Minutes        [2]float64 // of all sessions, before and after
	Days           [2][]practice.Weekday
	Tests          [2][]practice.PlannedTest // floor tests only in the one, only in the other
}

// Changed is a drill that is in both weeks, with what a week has of it.
type Changed struct{ Was, Is DrillTotal }

// DrillTotal is what a week has of one drill.
type DrillTotal struct {
	First    practice.Item // its first item
	Sessions int           // that have it
	Sets     int           // in all sessions
	Minutes  float64       // in all sessions
}

// None says whether the weeks are alike.
func (d Differs) None() bool {
	return len(d.Added)+len(d.Dropped)+len(d.Doses)+len(d.Cues)+len(d.Tests[0])+len(d.Tests[1]) == 0 &&
		d.Minutes[0] == d.Minutes[1] && slices.Equal(d.Days[0], d.Days[1])
}

// Compare says how the week is differs from was.
func Compare(was, is practice.Week) Differs {
	before, after := totals(was), totals(is)
	d := Differs{Minutes: [2]float64{weekMinutes(was), weekMinutes(is)}, Days: [2][]practice.Weekday{daysOf(was), daysOf(is)}}
	for _, t := range after {
		i := slices.IndexFunc(before, func(b DrillTotal) bool { return b.First.Drill == t.First.Drill })
		if i < 0 {
			d.Added = append(d.Added, t.First)
			continue
		}
		if b := before[i]; b.Sessions != t.Sessions || b.Sets != t.Sets || b.First.Reps != t.First.Reps || b.First.Seconds != t.First.Seconds || b.Minutes != t.Minutes {
			d.Doses = append(d.Doses, Changed{b, t})
		}
		if before[i].First.Cue != t.First.Cue {
			d.Cues = append(d.Cues, Changed{before[i], t})
		}
	}
	for _, b := range before {
		if !slices.ContainsFunc(after, func(t DrillTotal) bool { return t.First.Drill == b.First.Drill }) {
			d.Dropped = append(d.Dropped, b.First)
		}
	}
	d.Tests = [2][]practice.PlannedTest{testsNotIn(was, is), testsNotIn(is, was)}
	return d
}

// totals are the drills of a week in the order they come.
func totals(w practice.Week) (out []DrillTotal) {
	var in []int // the last session that has it
	for n, s := range w.Sessions {
		for _, b := range s.Blocks {
			for _, it := range b.Items {
				i := slices.IndexFunc(out, func(t DrillTotal) bool { return t.First.Drill == it.Drill })
				if i < 0 {
					i = len(out)
					out, in = append(out, DrillTotal{First: it}), append(in, -1)
				}
				if in[i] != n {
					in[i], out[i].Sessions = n, out[i].Sessions+1
				}
				out[i].Sets += it.Sets
				out[i].Minutes += it.Minutes
			}
		}
	}
	return out
}

func weekMinutes(w practice.Week) (sum float64) {
	for _, s := range w.Sessions {
		sum += s.Minutes
	}
	return sum
}

func daysOf(w practice.Week) (out []practice.Weekday) {
	for _, s := range w.Sessions {
		out = append(out, s.Day)
	}
	slices.Sort(out)
	return out
}

func testsNotIn(w, other practice.Week) (out []practice.PlannedTest) {
	for _, t := range w.Tests {
		if !slices.ContainsFunc(other.Tests, func(o practice.PlannedTest) bool { return o.Test == t.Test }) {
			out = append(out, t)
		}
	}
	return out
}
