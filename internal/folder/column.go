package folder

import (
	"strconv"
	"strings"
	"time"

	"aplomb/internal/practice"
)

// column is one column of a CSV file: its name, and how a cell becomes a field
// of a row and a field a cell.
type column[T any] struct {
	name string
	must bool // the column must be there, and its cells not empty
	// read takes a cell that is not empty; the fault it may return needs no
	// place.
	read  func(row *T, cell string, p pool) *practice.Fault
	write func(row *T) string // empty: unknown
}

// required makes a column one that must be there.
func (c column[T]) required() column[T] {
	c.must = true
	return c
}

// pool keeps one copy of every text that many rows share. It forgets all of
// them where they become very many: rows that share a text stand together.
type pool map[string]string

const maxPool = 20_000

func (p pool) keep(s string) string {
	if kept, ok := p[s]; ok {
		return kept
	}
	if len(p) >= maxPool {
		clear(p)
	}
	s = strings.Clone(s)
	p[s] = s
	return s
}

// text is free text, each cell its own.
func text[T any](name string, at func(*T) *string) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			*at(row) = strings.Clone(cell)
			return nil
		},
		write: func(row *T) string { return *at(row) },
	}
}

// shared is text that many rows have in common.
func shared[T any, S ~string](name string, at func(*T) *S) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, p pool) *practice.Fault {
			*at(row) = S(p.keep(cell))
			return nil
		},
		write: func(row *T) string { return string(*at(row)) },
	}
}

// word is one of a vocabulary.
func word[T any, W ~string](name string, vocabulary []W, at func(*T) *W) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			w, err := practice.Word(vocabulary, cell)
			if err != nil {
				f := practice.FieldFault(name, cell, practice.UnknownWord, err)
				return &f
			}
			*at(row) = w
			return nil
		},
		write: func(row *T) string { return string(*at(row)) },
	}
}

// instant is a date and time with its offset.
func instant[T any](name string, at func(*T) *practice.Instant) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			i, err := practice.ParseInstant(cell)
			if err != nil {
				f := instantFault(name, cell, err)
				return &f
			}
			*at(row) = i
			return nil
		},
		write: func(row *T) string { return at(row).String() },
	}
}

const instantWant = "2026-03-30T18:30:00+01:00"

// instantFault says whether it is only the offset that is missing.
func instantFault(field, value string, err error) practice.Fault {
	f := practice.FieldFault(field, value, practice.BadInstant, err)
	f.Want = instantWant
	for _, layout := range []string{"2006-01-02T15:04:05", "2006-01-02 15:04:05", "2006-01-02T15:04", "2006-01-02 15:04"} {
		if _, err := time.Parse(layout, value); err == nil {
			f.Code = practice.NoOffset
		}
	}
	return f
}

// flag is true or false.
func flag[T any](name string, at func(*T) *practice.Maybe[bool]) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			if cell != "true" && cell != "false" {
				known := []string{"true", "false"}
				return &practice.Fault{Code: practice.UnknownWord, Field: name, Value: practice.Short(cell),
					Want: "true, false", Near: practice.Nearest(cell, known)}
			}
			*at(row) = practice.Known(cell == "true")
			return nil
		},
		write: func(row *T) string {
			if m := *at(row); m.Known {
				return strconv.FormatBool(m.Value)
			}
			return ""
		},
	}
}

// number is a decimal number.
func number[T any](name string, at func(*T) *float64) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) (f *practice.Fault) {
			*at(row), f = parseNumber(name, cell)
			return f
		},
		write: func(row *T) string { return formatNumber(*at(row)) },
	}
}

// maybeNumber is a decimal number that may be unknown.
func maybeNumber[T any](name string, at func(*T) *practice.Maybe[float64]) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			v, f := parseNumber(name, cell)
			if f == nil {
				*at(row) = practice.Known(v)
			}
			return f
		},
		write: func(row *T) string {
			if m := *at(row); m.Known {
				return formatNumber(m.Value)
			}
			return ""
		},
	}
}

// count is a whole number from 1; 0 in the row is unknown.
func count[T any](name string, at func(*T) *int) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			v, f := parseCount(name, cell)
			if f == nil && v == 0 {
				f = &practice.Fault{Code: practice.OutOfRange, Field: name, Value: cell,
					Want: "a whole number from 1"}
			}
			*at(row) = v
			return f
		},
		write: func(row *T) string {
			if v := *at(row); v != 0 {
				return strconv.Itoa(v)
			}
			return ""
		},
	}
}

// whole is a whole number, of either sign; left out it is 0.
func whole[T any](name string, at func(*T) *int) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			v, err := strconv.ParseInt(cell, 10, 64)
			if err == nil {
				*at(row) = int(v)
				return nil
			}
			if _, f := parseNumber(name, cell); f != nil {
				return f
			}
			return &practice.Fault{Code: practice.BadNumber, Field: name, Value: practice.Short(cell), Want: "a whole number", Err: err}
		},
		write: func(row *T) string { return strconv.Itoa(*at(row)) },
	}
}

// yes is true, or left out.
func yes[T any](name string, at func(*T) *bool) column[T] {
	type both struct {
		row  *T
		flag practice.Maybe[bool]
	}
	f := flag(name, func(b *both) *practice.Maybe[bool] { return &b.flag })
	return column[T]{name: name,
		read: func(row *T, cell string, p pool) *practice.Fault {
			b := both{row: row}
			fault := f.read(&b, cell, p)
			*at(row) = b.flag.Value
			return fault
		},
		write: func(row *T) string {
			if *at(row) {
				return "true"
			}
			return ""
		},
	}
}

// weekday is a day of the week by its word.
func weekday[T any](name string, at func(*T) *practice.Weekday) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			if err := at(row).UnmarshalText([]byte(cell)); err != nil {
				f := practice.FieldFault(name, cell, practice.UnknownWord, err)
				return &f
			}
			return nil
		},
		write: func(row *T) string { return at(row).String() },
	}
}

// maybeWeekday is a day of the week that may be unknown.
func maybeWeekday[T any](name string, at func(*T) *practice.Maybe[practice.Weekday]) column[T] {
	c := weekday(name, func(row *T) *practice.Weekday { return &at(row).Value })
	read, write := c.read, c.write
	c.read = func(row *T, cell string, p pool) *practice.Fault {
		f := read(row, cell, p)
		at(row).Known = f == nil
		return f
	}
	c.write = func(row *T) string {
		if at(row).Known {
			return write(row)
		}
		return ""
	}
	return c
}

// maybeCount is a whole number that may be unknown.
func maybeCount[T any](name string, at func(*T) *practice.Maybe[int]) column[T] {
	return column[T]{name: name,
		read: func(row *T, cell string, _ pool) *practice.Fault {
			v, f := parseCount(name, cell)
			if f == nil {
				*at(row) = practice.Known(v)
			}
			return f
		},
		write: func(row *T) string {
			if m := *at(row); m.Known {
				return strconv.Itoa(m.Value)
			}
			return ""
		},
	}
}
