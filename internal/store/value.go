package store

import (
	"database/sql"
	"strings"
	"unicode/utf8"

	"aplomb/internal/practice"
)

// null is a value as a database has it where it may be unknown.
func null[T any](m practice.Maybe[T]) sql.Null[T] { return sql.Null[T]{V: m.Value, Valid: m.Known} }

// maybe is null read back.
func maybe[T any](n sql.Null[T]) practice.Maybe[T] {
	return practice.Maybe[T]{Value: n.V, Known: n.Valid}
}

// bit is null of a yes or no: both databases have whole numbers.
func bit(m practice.Maybe[bool]) sql.Null[int64] {
	n := sql.Null[int64]{Valid: m.Known}
	if m.Value {
		n.V = 1
	}
	return n
}

// dayOf is null of a day of the week.
func dayOf(m practice.Maybe[practice.Weekday]) sql.Null[int64] {
	return sql.Null[int64]{V: int64(m.Value), Valid: m.Known}
}

// weekday is dayOf read back.
func weekday(n sql.Null[int64]) practice.Maybe[practice.Weekday] {
	return practice.Maybe[practice.Weekday]{Value: practice.Weekday(n.V), Known: n.Valid}
}

// plain is a column's value for JSON, nil where it is unknown.
func plain(v any) any {
	switch n := v.(type) {
	case sql.Null[float64]:
		if !n.Valid {
			return nil
		}
		return n.V
	case sql.Null[int64]:
		if !n.Valid {
			return nil
		}
		return n.V
	}
	return v
}

// sound refuses text that is no text: what is not UTF-8, or has a zero byte,
// which PostgreSQL does not keep.
func sound(values []any, columns []string) error {
	for i, v := range values {
		if s, ok := v.(string); ok && (!utf8.ValidString(s) || strings.IndexByte(s, 0) >= 0) {
			return practice.Fault{Code: practice.NotUTF8, Field: columns[i]}
		}
	}
	return nil
}
