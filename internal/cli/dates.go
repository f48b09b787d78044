package cli

import (
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

func longDate(b *words.Book, d practice.Date) string   { return telling.LongDate(b, d) }
func shortDate(b *words.Book, d practice.Date) string  { return telling.ShortDate(b, d) }
func dayName(b *words.Book, d practice.Weekday) string { return telling.DayName(b, d) }
