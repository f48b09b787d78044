package store

import (
	"context"

	"aplomb/internal/practice"
)

// Erased is the lines of the audit trail that say that somebody was erased, of
// one studio or, with none named, of every one: their key, and when.
func (s *Store) Erased(ctx context.Context, studio string) ([]practice.Change, error) {
	where, args := "", []any{}
	if studio != "" { // of no student: there is an index of those
		where, args = "AND studio = $1 AND student = ''", append(args, studio)
	}
	return several(ctx, s, practice.Who{}, func(scan func(...any) error) (c practice.Change, err error) {
		err = scan(&c.Key, &c.At.UnixNano, &c.At.Offset)
		c.Act = practice.Erased
		return c, err
	}, "SELECT thing, at_ns, at_off FROM changes WHERE act = 'erased' "+where+" ORDER BY studio, at_ns", args...)
}
