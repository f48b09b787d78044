package store

import (
	"context"
	"strings"

	"aplomb/internal/practice"
)

var people = &kind[practice.Person]{
	noun: practice.PersonNoun, table: "people", order: "n, id",
	id:      func(v practice.Person) string { return v.ID },
	columns: []string{"email"},
	values:  func(v practice.Person) []any { return []any{email(v.Email)} },
}

// email is an address as it is looked up: nobody has two that differ in case
// alone.
func email(s string) string { return strings.ToLower(strings.TrimSpace(s)) }

// People is everybody who works or worked in the studio.
func (s *Store) People(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Person], error) {
	return all(ctx, s, who, people, "")
}

// Person is one of them.
func (s *Store) Person(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Person], error) {
	return get(ctx, s, who, people, id)
}

// PersonByEmail is the one who signs in with this address, in whatever case.
func (s *Store) PersonByEmail(ctx context.Context, who practice.Who, address string) (practice.Kept[practice.Person], error) {
	found, err := all(ctx, s, who, people, "AND email = $2", email(address))
	if err == nil && (len(found) == 0 || email(address) == "") {
		err = notFound(practice.PersonNoun, address)
	}
	if err != nil {
		return practice.Kept[practice.Person]{}, err
	}
	return found[0], nil
}

// PutPerson keeps a person. An address another has is an exists-already fault.
func (s *Store) PutPerson(ctx context.Context, who practice.Who, v practice.Person, base int64) (int64, error) {
	var rev int64
	err := s.change(ctx, who, func(t *tx) error {
		same, err := list(ctx, t, people, "AND email = $2 AND email <> '' AND id <> $3", email(v.Email), v.ID)
		if err == nil && len(same) > 0 {
			err = practice.Fault{Code: practice.ExistsAlready, Field: "email", Value: practice.Short(v.Email)}
		}
		if err == nil {
			rev, err = put(ctx, t, people, v, base)
		}
		return err
	})
	return rev, err
}
