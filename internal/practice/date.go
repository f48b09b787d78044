package practice

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Date is a calendar day, counted from 1970-01-01 as day 0.
type Date int32

// DateOf is the day with this year, month and day of the month.
func DateOf(year int, month time.Month, day int) Date {
	return Date(floorDiv(time.Date(year, month, day, 0, 0, 0, 0, time.UTC).Unix(), 86400))
}

// ParseDate reads a day as 2026-03-30.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return 0, fmt.Errorf("practice: a date is written as 2026-03-30: %w", err)
	}
	return DateOf(t.Date()), nil
}

func dayOf(unix int64) Date { return Date(floorDiv(unix, 86400)) }

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// Time is midnight UTC of the day.
func (d Date) Time() time.Time { return time.Unix(int64(d)*86400, 0).UTC() }

// Weekday counts from Monday = 0 to Sunday = 6.
func (d Date) Weekday() Weekday { return Weekday((int(d.Time().Weekday()) + 6) % 7) }

// Week is the ISO 8601 week the day lies in.
func (d Date) Week() ISOWeek {
	y, w := d.Time().ISOWeek()
	return ISOWeek{y, w}
}

// NextMonday is the first Monday after the day.
func (d Date) NextMonday() Date { return d + 7 - Date(d.Weekday()) }

// String is the day as 2026-03-30.
func (d Date) String() string { return d.Time().Format(time.DateOnly) }

// MarshalText is String; UnmarshalText is ParseDate.
func (d Date) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads a day as 2026-03-30.
func (d *Date) UnmarshalText(b []byte) (err error) {
	*d, err = ParseDate(string(b))
	return err
}

// Years is the number of whole years from d to then: an age.
func (d Date) Years(then Date) int {
	a, b := d.Time(), then.Time()
	years := b.Year() - a.Year()
	if b.Month() < a.Month() || b.Month() == a.Month() && b.Day() < a.Day() {
		years--
	}
	return years
}

// ISOWeek is a week by ISO 8601: Monday first, written 2026-W23.
type ISOWeek struct{ Year, Week int }

// ParseISOWeek reads a week as 2026-W23.
func ParseISOWeek(s string) (ISOWeek, error) {
	year, week, found := strings.Cut(s, "-W")
	y, err1 := strconv.Atoi(year)
	n, err2 := strconv.Atoi(week)
	w := ISOWeek{y, n}
	if !found || err1 != nil || err2 != nil || w.String() != s {
		return ISOWeek{}, fmt.Errorf("practice: a week is written as 2026-W23, not %q", Short(s))
	}
	if w.Year < 1900 || w.Year > 2200 || w.Week < 1 || w.Monday().Week() != w {
		return ISOWeek{}, fmt.Errorf("practice: there is no week %q", s)
	}
	return w, nil
}

// Monday is the first day of the week.
func (w ISOWeek) Monday() Date {
	fourth := DateOf(w.Year, time.January, 4) // always in week 1
	return fourth - Date(fourth.Weekday()) + Date(7*(w.Week-1))
}

// String is the week as 2026-W23.
func (w ISOWeek) String() string { return fmt.Sprintf("%04d-W%02d", w.Year, w.Week) }

// MarshalText is String; UnmarshalText is ParseISOWeek.
func (w ISOWeek) MarshalText() ([]byte, error) { return []byte(w.String()), nil }

// UnmarshalText reads a week as 2026-W23.
func (w *ISOWeek) UnmarshalText(b []byte) (err error) {
	*w, err = ParseISOWeek(string(b))
	return err
}

// Weekday counts the days of a week from Monday = 0.
type Weekday int

// Weekdays are the words for the days in files, Monday first.
var Weekdays = []string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// String is the word for the day in files.
func (d Weekday) String() string {
	if d < 0 || int(d) >= len(Weekdays) {
		return fmt.Sprintf("day %d", int(d))
	}
	return Weekdays[d]
}

// MarshalText is String.
func (d Weekday) MarshalText() ([]byte, error) { return []byte(d.String()), nil }

// UnmarshalText reads one of [Weekdays].
func (d *Weekday) UnmarshalText(b []byte) error {
	for i, w := range Weekdays {
		if w == string(b) {
			*d = Weekday(i)
			return nil
		}
	}
	return unknownWord(string(b), Weekdays)
}
