package store

import (
	"context"
	"database/sql"

	"aplomb/internal/practice"
)

var wishes = &kind[practice.Wish]{
	noun: practice.WishNoun, table: "wishes", order: "n, id",
	id:      wishKey,
	student: func(v practice.Wish) string { return v.Student },
	columns: []string{"student"},
	values: func(v practice.Wish) []any {
		return []any{sql.Null[string]{V: v.Student, Valid: v.Student != ""}}
	},
}

// wishKey names a wish by whom and which week it is for: a wish has no id.
func wishKey(v practice.Wish) string {
	key := "group:" + v.Group
	if v.Student != "" {
		key = "student:" + v.Student
	}
	if v.Week != nil {
		key += "@" + v.Week.String()
	}
	return key
}

// Wishes is what the coaches want, for all students and groups.
func (s *Store) Wishes(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Wish], error) {
	return all(ctx, s, who, wishes, "")
}

// PutWish keeps the wish for its student or group and its week.
func (s *Store) PutWish(ctx context.Context, who practice.Who, v practice.Wish, base int64) (int64, error) {
	return save(ctx, s, who, wishes, v, base)
}

// RemoveWish takes out the wish for v's student or group and v's week.
func (s *Store) RemoveWish(ctx context.Context, who practice.Who, v practice.Wish) error {
	return s.change(ctx, who, func(t *tx) error { return remove(ctx, t, wishes, wishKey(v), v.Student) })
}
