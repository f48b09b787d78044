package store

import (
	"context"
	"encoding/json"
	"slices"

	"aplomb/internal/practice"
)

var students = &kind[practice.Student]{
	noun: practice.StudentNoun, table: "students", order: "n, id",
	id:      func(v practice.Student) string { return v.ID },
	student: func(v practice.Student) string { return v.ID },
	private: &private[practice.Student]{splitSites, joinSites, sitesStay},
}

// splitSites parts the sites of restrictions from the rest: what a restriction
// rules out stays open, for the rules.
func splitSites(v practice.Student) (practice.Student, []byte, error) {
	sites := make([]string, len(v.Restrictions))
	some := false
	v.Restrictions = slices.Clone(v.Restrictions)
	for i := range v.Restrictions {
		sites[i], v.Restrictions[i].Site = v.Restrictions[i].Site, ""
		some = some || sites[i] != ""
	}
	if !some {
		return v, nil, nil
	}
	rest, err := marshal(sites)
	return v, rest, err
}

func joinSites(v *practice.Student, rest []byte) error {
	var sites []string
	if err := json.Unmarshal(rest, &sites); err != nil || len(sites) != len(v.Restrictions) {
		return broken(err)
	}
	for i := range sites {
		v.Restrictions[i].Site = sites[i]
	}
	return nil
}

// sitesStay says whether the restrictions are those that were, so that their
// sites, which nobody could read, still belong to them.
func sitesStay(was, is practice.Student) bool {
	return slices.EqualFunc(was.Restrictions, is.Restrictions, func(a, b practice.Restriction) bool {
		same := a.Until == nil && b.Until == nil || a.Until != nil && b.Until != nil && *a.Until == *b.Until
		return same && a.Since == b.Since && slices.Equal(a.No, b.No)
	})
}

// Students is every student of the studio, archived ones too; the sites of
// restrictions are left out, and read with one student.
func (s *Store) Students(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Student], error) {
	return bare(ctx, s, who, students, "")
}

// Student is one student. Where the key of the health notes is not here, the
// sites of restrictions are empty.
func (s *Store) Student(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Student], error) {
	return get(ctx, s, who, students, id)
}

// PutStudent keeps a student. Without the key the sites of restrictions cannot
// be written: a student who has none, or whose restrictions are as they were,
// can.
func (s *Store) PutStudent(ctx context.Context, who practice.Who, v practice.Student, base int64) (rev int64, err error) {
	err = s.change(ctx, who, func(t *tx) (err error) {
		if rev, err = put(ctx, t, students, v, base); err != nil || base != 0 {
			return err
		}
		_, err = t.ExecContext(ctx, "UPDATE students SET erase_key = $3 WHERE studio = $1 AND id = $2", t.who.Studio, v.ID, s.newID())
		return err
	})
	return rev, err
}
