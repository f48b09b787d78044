package app

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"

	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/words"
)

// Selfcheck looks at a set-up without serving it, and says what is not as it
// should be. It opens the store as serving would.
func Selfcheck(ctx context.Context, c Config) Findings {
	fs := c.servable()
	dir, err := c.data()
	if err != nil {
		return append(fs, said(err))
	}
	if c.DB == "" {
		fs = append(fs, place(dir)...)
		if _, err := os.Stat(filepath.Join(dir, StoreFile)); errors.Is(err, os.ErrNotExist) {
			return append(fs, Finding{"empty", []any{"path", dir}, false})
		}
	}
	s, sealed, err := c.OpenStore(ctx)
	if err != nil {
		return append(fs, said(err))
	}
	defer s.Close()
	if !sealed {
		fs = append(fs, Finding{ID: "key"})
	}
	return append(fs, c.kept(ctx, s)...)
}

// said is a fault of a store or a key as a finding.
func said(err error) Finding {
	var f practice.Fault
	if errors.As(err, &f) {
		return Finding{"fault", []any{"fault", words.English.Fault(f)}, true}
	}
	return Finding{"fault", []any{"fault", err.Error()}, true}
}

// place is what is wrong with where the store lies.
func place(dir string) (out Findings) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil
	case err != nil:
		return Findings{said(practice.Fault{Code: practice.NotRead, File: dir, Err: err})}
	case info.Mode().Perm()&0o077 != 0 && runtime.GOOS != "windows":
		out = append(out, Finding{"open", []any{"path", dir, "mode", info.Mode().Perm().String()}, false})
	}
	return out
}

// kept is what is wrong with what the store holds: nobody who can come in, a
// clock that is behind.
func (c Config) kept(ctx context.Context, s *store.Store) (out Findings) {
	studios, err := s.Studios(ctx)
	if err != nil {
		return Findings{said(err)}
	}
	acc, err := c.account(s, roster.New(s, c.Now, NewID), c.url(nil))
	if err != nil {
		return Findings{said(err)}
	}
	for _, studio := range studios {
		in, err := acc.OwnerIn(ctx, studio.ID)
		if err != nil {
			return append(out, said(err))
		}
		if !in {
			out = append(out, Finding{"owner", []any{"studio", studio.Name, "id", studio.ID}, false})
		}
		newest := practice.Instant{}
		err = s.Trail(ctx, atDesk(studio.ID), func(ch practice.Change) error {
			if newest.Before(ch.At) {
				newest = ch.At
			}
			return nil
		})
		if err != nil {
			return append(out, said(err))
		}
		if now := studio.Zone.At(c.Now()); now.Before(newest) {
			out = append(out, Finding{"clock", []any{"studio", studio.Name, "now", now.String(), "newest", newest.String()}, false})
		}
	}
	return out
}
