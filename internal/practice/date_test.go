package practice

import (
	"encoding/json"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func mustDate(t testing.TB, s string) Date {
	t.Helper()
	d, err := ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func TestDates(t *testing.T) {
	if d := mustDate(t, "1970-01-01"); d != 0 {
		t.Error(int(d))
	}
	if d := mustDate(t, "2000-03-01"); d != 11017 { // 30 years, 7 leap days, January and February of a leap year
		t.Error(int(d))
	}
	if mustDate(t, "2024-02-29")+1 != mustDate(t, "2024-03-01") || mustDate(t, "2023-02-28")+1 != mustDate(t, "2023-03-01") ||
		mustDate(t, "2026-12-31")+1 != mustDate(t, "2027-01-01") || mustDate(t, "1969-12-31") != -1 {
		t.Error("leap days or year ends")
	}
	for _, s := range []string{"", "2023-02-29", "1900-02-29", "2026-3-30", "2026-03-32", "30.3.2026", "2026-03-30T00:00:00Z"} {
		if d, err := ParseDate(s); err == nil {
			t.Errorf("%q is %s", s, d)
		}
	}
}

// Days around New Year and their ISO 8601 weeks, as published in the table of
// "ISO week date" (Wikipedia), and checked with Python 3's date.isocalendar.
var isoWeeks = []struct {
	date, week string
	day        int // Monday 1 to Sunday 7
}{
	{"2005-01-01", "2004-W53", 6}, {"2005-01-02", "2004-W53", 7}, {"2005-12-31", "2005-W52", 6}, {"2006-01-01", "2005-W52", 7},
	{"2006-01-02", "2006-W01", 1}, {"2006-12-31", "2006-W52", 7}, {"2007-01-01", "2007-W01", 1}, {"2007-12-30", "2007-W52", 7},
	{"2007-12-31", "2008-W01", 1}, {"2008-01-01", "2008-W01", 2}, {"2008-12-28", "2008-W52", 7}, {"2008-12-29", "2009-W01", 1},
	{"2008-12-31", "2009-W01", 3}, {"2009-01-01", "2009-W01", 4}, {"2009-12-31", "2009-W53", 4}, {"2010-01-01", "2009-W53", 5},
	{"2010-01-03", "2009-W53", 7}, {"2019-12-30", "2020-W01", 1}, {"2026-03-30", "2026-W14", 1},
}

func TestISOWeeks(t *testing.T) {
	for _, c := range isoWeeks {
		d := mustDate(t, c.date)
		if d.Week().String() != c.week || int(d.Weekday())+1 != c.day {
			t.Errorf("%s is %s-%d, want %s-%d", c.date, d.Week(), d.Weekday()+1, c.week, c.day)
		}
		w, err := ParseISOWeek(c.week)
		if err != nil || w.Monday()+Date(c.day-1) != d {
			t.Errorf("day %d of %s is %s, want %s; %v", c.day, c.week, w.Monday()+Date(c.day-1), c.date, err)
		}
	}
}

// In the 400 years of the Gregorian cycle 71 have 53 weeks ("ISO week date",
// Wikipedia), and 146,097 days make 20,871 weeks.
func TestISOWeekCycle(t *testing.T) {
	long := 0
	for year := 1800; year < 2200; year++ {
		if DateOf(year, time.December, 28).Week().Week == 53 { // 28 December is always in the last week
			long++
		}
	}
	if days := DateOf(2200, 1, 1) - DateOf(1800, 1, 1); long != 71 || days != 146097 || days/7 != 20871 {
		t.Error(long, days)
	}
}

func TestNoISOWeek(t *testing.T) {
	for _, s := range []string{"", "2026-W1", " 2026-W1", "2026-W 1", "2026-W00", "2026-W54", "2025-W53", "2026W01", "2026-w01", "1899-W01", "2201-W01", "-026-W01", "2026-W+1"} {
		if w, err := ParseISOWeek(s); err == nil || w != (ISOWeek{}) {
			t.Errorf("%q is %v", s, w)
		}
	}
}

func TestDateProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := Date(rapid.IntRange(-25000, 84000).Draw(t, "day")) // 1901 to 2199
		w := d.Week()
		back, err := ParseISOWeek(w.String())
		if err != nil || back != w {
			t.Fatal(w, err)
		}
		if w.Monday()+Date(d.Weekday()) != d {
			t.Fatalf("%s: week %s, weekday %s", d, w, d.Weekday())
		}
		if m := d.NextMonday(); m <= d || m > d+7 || m.Weekday() != 0 {
			t.Fatalf("the Monday after %s is %s", d, m)
		}
		if again, err := ParseDate(d.String()); err != nil || again != d {
			t.Fatal(d, err)
		}
	})
}

func TestYears(t *testing.T) {
	for _, c := range []struct {
		born, day string
		years     int
	}{
		{"2008-03-30", "2026-03-29", 17}, {"2008-03-30", "2026-03-30", 18}, {"2008-02-29", "2026-02-28", 17}, {"2008-02-29", "2026-03-01", 18},
		{"2000-12-31", "2001-01-01", 0}, {"2026-03-30", "2025-03-30", -1},
	} {
		if got := mustDate(t, c.born).Years(mustDate(t, c.day)); got != c.years {
			t.Errorf("born %s, on %s: %d years, want %d", c.born, c.day, got, c.years)
		}
	}
}

func TestDatesAsText(t *testing.T) {
	var v struct {
		D Date    `json:"d"`
		W ISOWeek `json:"w"`
		T Weekday `json:"t"`
	}
	const text = `{"d":"2026-03-30","w":"2026-W14","t":"sun"}`
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	if raw, err := json.Marshal(v); err != nil || string(raw) != text || v.T != 6 {
		t.Error(string(raw), err)
	}
	if err := v.T.UnmarshalText([]byte("sunday")); err == nil || v.T.String() != "sun" {
		t.Error(err, v.T)
	}
	if s := Weekday(9).String(); s != "day 9" {
		t.Error(s)
	}
}
