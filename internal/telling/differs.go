package telling

import (
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Differs says how a week differs from another, a line a thing.
func Differs(b *words.Book, lib *practice.Library, d planning.Differs) (out []string) {
	if d.None() {
		return []string{b.Say("differs.none")}
	}
	for _, it := range d.Added {
		out = append(out, b.Say("differs.added", "drill", it.Name, "dose", Dose(b, lib, it)))
	}
	for _, it := range d.Dropped {
		out = append(out, b.Say("differs.dropped", "drill", it.Name))
	}
	for _, c := range d.Doses {
		out = append(out, b.Say("differs.dose", "drill", c.Is.First.Name, "was", total(b, lib, c.Was), "is", total(b, lib, c.Is)))
	}
	for _, c := range d.Cues {
		out = append(out, b.Say("differs.cue", "drill", c.Is.First.Name, "was", c.Was.First.Cue, "is", c.Is.First.Cue))
	}
	for i, id := range []string{"differs.test.dropped", "differs.test.added"} {
		for _, t := range d.Tests[i] {
			out = append(out, b.Say(id, "test", t.Name))
		}
	}
	days := func(days []practice.Weekday) string {
		names := make([]string, len(days))
		for i, day := range days {
			names[i] = DayName(b, day)
		}
		return b.List(names)
	}
	if was, is := days(d.Days[0]), days(d.Days[1]); was != is {
		out = append(out, b.Say("differs.days", "was", was, "is", is))
	}
	if d.Minutes[0] != d.Minutes[1] {
		out = append(out, b.Say("differs.minutes", "was", d.Minutes[0], "is", d.Minutes[1]))
	}
	return out
}

// total is what a week has of a drill.
func total(b *words.Book, lib *practice.Library, t planning.DrillTotal) string {
	return b.Say("differs.total", "dose", Dose(b, lib, t.First), "n", t.Sessions, "minutes", t.Minutes)
}
