package account

import (
	"context"
	_ "embed"
	"strings"
	"unicode/utf8"

	"aplomb/internal/practice"
)

// Shortest and longest password, in characters. There are no rules of
// composition (NIST SP 800-63B-4, section 3.1.1.2).
const (
	MinPassword = 10
	MaxPassword = 128
)

// common is passwords many people take, at least ten characters long, written
// down from memory: no published list was copied.
//
//go:embed common.txt
var common string

// checkPassword says what is wrong with a new password.
func checkPassword(password, email string) []practice.Fault {
	bad := func(code practice.Code, want string) []practice.Fault {
		return []practice.Fault{{Code: code, Field: "password", Want: want}}
	}
	same := strings.ToLower(strings.TrimSpace(password))
	local, _, _ := strings.Cut(strings.ToLower(email), "@")
	switch n := utf8.RuneCountInString(password); {
	case !utf8.ValidString(password):
		return bad(practice.NotUTF8, "")
	case n < MinPassword || n > MaxPassword:
		return bad(practice.OutOfRange, "10 to 128 characters")
	case same == strings.ToLower(email), strings.Trim(same, "0123456789!.") == local && local != "":
		return bad(practice.OutOfRange, "one that is not the email address")
	case isCommon(same):
		return bad(practice.OutOfRange, "one that fewer people would think of")
	}
	return nil
}

func isCommon(password string) bool {
	for line := range strings.Lines(common) {
		if strings.TrimSpace(line) == password {
			return true
		}
	}
	return strings.Count(password, password[:1]) == len(password)
}

// ChangePassword sets another password. Who has one shows it once more; who
// has none, or forgot it, has to have come in just now. Every other browser of
// the person is signed out.
func (a *Account) ChangePassword(ctx context.Context, in Signed, current, next string) error {
	if !in.Staff() {
		return practice.Refused(practice.RunStudio)
	}
	kept, err := a.Store.Password(ctx, in.Who, in.Who.ID)
	switch {
	case err == nil:
		match, _, err := a.matches(ctx, kept.Hash, current)
		if err != nil {
			return err
		}
		if !match {
			return ErrNotMatched
		}
	case !missing(err):
		return err
	case !a.fresh(in):
		return ErrStale
	}
	if fs := checkPassword(next, in.Person.Email); len(fs) > 0 {
		return practice.Faults(fs)
	}
	if err := a.putPassword(ctx, in.Who, in.Studio, next); err != nil {
		return err
	}
	return a.Store.RemoveSignIns(ctx, in.Who, in.SignIn.ID)
}

func (a *Account) putPassword(ctx context.Context, who practice.Who, s practice.Studio, password string) error {
	pw, err := a.newPassword(ctx, who, s, password)
	if err != nil {
		return err
	}
	return a.Store.PutPassword(ctx, who, pw)
}

func (a *Account) newPassword(ctx context.Context, who practice.Who, s practice.Studio, password string) (practice.Password, error) {
	hash, err := a.hash(ctx, password)
	return practice.Password{Person: who.ID, Hash: hash, Since: a.now(s)}, err
}
