package practice

import (
	"testing"
	"time"
)

// What is read as an instant is written as the same instant, in the same day.
func FuzzInstant(f *testing.F) {
	for _, s := range []string{
		"2026-03-30T18:30:00+01:00", "2024-02-29T23:59:59.999999999-09:30", "2026-12-31T23:30:00Z",
		"2026-03-30T18:30:00", "2026-03-30 18:30", "1900-01-01T00:00:00+23:59", "2200-12-31T23:59:59-00:00", "",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		i, err := ParseInstant(s)
		if err != nil {
			if i != (Instant{}) {
				t.Fatalf("%q: an error and %v", s, i)
			}
			return
		}
		again, err := ParseInstant(i.String())
		if err != nil || again != i {
			t.Fatalf("%q: %v, again %v, %v", s, i, again, err)
		}
		if day := i.Date().String(); day != s[:10] {
			t.Fatalf("%q lies on %s", s, day)
		}
		if std, err := time.Parse(time.RFC3339Nano, s); err != nil || std.UnixNano() != i.UnixNano {
			t.Fatalf("%q: %d, package time says %v, %v", s, i.UnixNano, std, err)
		}
	})
}

// A date or a week that is read is written as it stood.
func FuzzDate(f *testing.F) {
	for _, s := range []string{"2026-03-30", "2024-02-29", "2023-02-29", "2026-W53", "2020-W53", " 2026-W1", "0000-01-01", "9999-12-31"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if d, err := ParseDate(s); err == nil && d.String() != s {
			t.Fatalf("%q is read as %s", s, d)
		}
		w, err := ParseISOWeek(s)
		if err == nil && (w.String() != s || w.Monday().Weekday() != 0 || w.Monday().Week() != w) {
			t.Fatalf("%q is read as %s", s, w)
		}
	})
}
