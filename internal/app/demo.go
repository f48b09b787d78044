package app

import (
	"context"
	"crypto/rand"
	"errors"
	"net"
	"os"
	"path"
	"strings"

	"aplomb/internal/account"
	"aplomb/internal/demo"
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// Demo is the program on an invented studio.
type Demo struct {
	*App
	Email, Password string // of its owner
	dir             string // to be removed; empty: kept
}

// NewDemo invents Millgate Hall in a folder and opens it. Where keep is empty
// the folder is one for the time being, and goes when the demo is closed;
// otherwise keep is a folder that is new or empty.
func NewDemo(ctx context.Context, c Config, keep string) (d *Demo, err error) {
	d = &Demo{}
	if c.Data = keep; keep == "" {
		if c.Data, err = os.MkdirTemp("", "aplomb-demo-"); err != nil {
			return nil, practice.Fault{Code: practice.NotWritten, File: os.TempDir(), Err: err}
		}
		d.dir = c.Data
	} else if err := emptyFolder(keep); err != nil {
		return nil, err
	}
	if err := d.open(ctx, c); err != nil {
		return nil, errors.Join(err, d.Close())
	}
	return d, nil
}

func (d *Demo) open(ctx context.Context, c Config) (err error) {
	if _, _, err = c.NewKey(); err != nil {
		return err
	}
	if err = c.invent(ctx); err != nil {
		return err
	}
	if c.Listen == "" {
		c.Listen = freeAddress(ctx)
	}
	if d.App, err = New(ctx, c); err != nil {
		return err
	}
	return d.owner(ctx)
}

// freeAddress is the usual address, or, where something listens there already,
// any free port of this machine.
func freeAddress(ctx context.Context) string {
	l, err := (&net.ListenConfig{}).Listen(ctx, "tcp", DefaultListen)
	if err != nil {
		return "localhost:0"
	}
	l.Close()
	return DefaultListen
}

// invent keeps the invented studio.
func (c Config) invent(ctx context.Context) (err error) {
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		return err
	}
	studio, err := demo.New(library.Builtin(), zone.At(c.Now()).Date(), func(r planning.Reason) string { return telling.Why(words.English, r) })
	if err != nil {
		return err
	}
	s, _, err := c.OpenStore(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, s.Close()) }()
	return s.Load(ctx, atDesk(demo.StudioID), func(l *store.Loader) error { return load(l, studio) })
}

func load(l *store.Loader, s demo.Studio) error {
	err := l.Studio(s.Studio)
	err = each(err, s.People, l.Person)
	err = each(err, s.Students, l.Student)
	err = each(err, s.Guardians, l.Guardian)
	err = each(err, s.Covers, l.Cover)
	for _, student := range s.Students {
		log := s.Logs[student.ID]
		err = each(err, log.Weeks, l.Week)
		err = each(err, log.Attempts, l.Attempt)
		err = each(err, log.Tallies, l.Tally)
		err = each(err, log.Sessions, l.Session)
		err = each(err, log.Probes, l.Probe)
		err = each(err, log.Marks, l.Mark)
	}
	err = each(err, s.Notes, l.Note)
	return each(err, s.Consents, l.Consent)
}

func each[T any](err error, values []T, do func(T) error) error {
	for _, v := range values {
		if err == nil {
			err = do(v)
		}
	}
	return err
}

// owner gives the owner a password nobody else knows.
func (d *Demo) owner(ctx context.Context) error {
	link, person, err := d.account.OwnerLink(ctx, demo.StudioID, demo.OwnerID)
	if err != nil {
		return err
	}
	d.Email, d.Password = person.Email, strings.ToLower(rand.Text()[:12])
	_, err = d.account.Accept(ctx, demo.StudioID, path.Base(link.Path), account.Entry{Name: person.Name, Email: d.Email, Password: d.Password}, "")
	return err
}

// Close stops the program and leaves nothing behind that was not to be kept.
func (d *Demo) Close() error {
	var err error
	if d.App != nil {
		err = d.App.Close()
	}
	if d.dir != "" {
		err = errors.Join(err, os.RemoveAll(d.dir))
	}
	return err
}
