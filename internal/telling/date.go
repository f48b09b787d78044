package telling

import (
	"fmt"
	"strconv"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// LongDate is the day with its weekday and year.
func LongDate(b *words.Book, d practice.Date) string { return date(b, "date", d) }

// ShortDate is the day with its weekday, without the year.
func ShortDate(b *words.Book, d practice.Date) string { return date(b, "date.short", d) }

// DayMonth is the day of the month with its month, for a column or a picture.
func DayMonth(b *words.Book, d practice.Date) string {
	_, month, day := d.Time().Date()
	return b.Say("date.brief", "day", day, "month", fmt.Sprintf("%.3s", b.Say("month."+strconv.Itoa(int(month)))))
}

func date(b *words.Book, id string, d practice.Date) string {
	year, month, day := d.Time().Date()
	return b.Say(id, "weekday", DayName(b, d.Weekday()), "day", day, "month", b.Say("month."+strconv.Itoa(int(month))),
		"year", strconv.Itoa(year))
}

// DayName is the name of a day of the week.
func DayName(b *words.Book, d practice.Weekday) string { return b.Say("day." + strconv.Itoa(int(d))) }
