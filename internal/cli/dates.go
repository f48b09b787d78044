package cli

import (
	"strconv"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

func longDate(b *words.Book, d practice.Date) string  { return date(b, "date", d) }
func shortDate(b *words.Book, d practice.Date) string { return date(b, "date.short", d) }

func date(b *words.Book, id string, d practice.Date) string {
	year, month, day := d.Time().Date()
	return b.Say(id, "weekday", dayName(b, d.Weekday()), "day", day, "month", b.Say("month."+strconv.Itoa(int(month))),
		"year", strconv.Itoa(year))
}

func dayName(b *words.Book, d practice.Weekday) string { return b.Say("day." + strconv.Itoa(int(d))) }
