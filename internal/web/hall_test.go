package web

import (
	"bytes"
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"aplomb/internal/account"
	"aplomb/internal/desk"
	"aplomb/internal/library"
	"aplomb/internal/logbook"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/store/sqlite"
	"aplomb/internal/words"
)

const phrase = "lean a little further"

// hall is Millgate Hall on a real store: Ines owns it, Tom and Una coach, Asa
// assists. Mira is Tom's and under age, with Maren to answer for her; Otto is
// Una's.
type hall struct {
	*Server
	t     testing.TB
	store *store.Store
	clock time.Time
	log   bytes.Buffer
	in    map[string]string // cookies, by name
	ids   map[string]string
	links map[string]string
	fails error // what /readyz says
}

func newHall(t testing.TB, site string) *hall {
	t.Helper()
	h := &hall{t: t, clock: time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC), in: map[string]string{}, ids: map[string]string{}, links: map[string]string{}}
	var n atomic.Int64
	newID := func() string { return fmt.Sprintf("id%d", n.Add(1)) }
	now := func() time.Time { return h.clock }
	var err error
	if h.store, err = sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"), nil, now, newID); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { h.store.Close() })
	r := roster.New(h.store, now, newID)
	acc, err := account.New(account.Parts{Store: h.store, Ties: r, Now: now, NewID: newID, Random: rand.Reader,
		Cost: account.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1}, Hashes: 2, URL: site})
	if err != nil {
		t.Fatal(err)
	}
	merge := func(own []practice.Drill) *practice.Library { return library.Merge(library.Builtin(), own) }
	looks := desk.New(h.store, r, merge, now)
	h.Server, err = New(Config{Account: acc, Roster: r, Desk: looks, Records: &shelf{roster: r}, Logbook: logbook.New(h.store, library.Builtin(), now),
		Bench: planning.NewBench(h.store, r, looks, 200*time.Millisecond, now, func() uint64 { return 1 }), Ready: func(context.Context) error { return h.fails }, Words: words.English,
		Log: slog.New(slog.NewTextHandler(&h.log, nil)), Now: now, URL: site})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

// shelf is records without files: rights as the program has them, and what the
// pages show.
type shelf struct {
	roster *roster.Roster
	brings error
}

func (s *shelf) Here() bool { return true }

func (s *shelf) Person(ctx context.Context, who practice.Who, student string, w io.Writer) error {
	if err := s.roster.May(ctx, who, practice.ExportPerson, student); err != nil {
		return err
	}
	_, err := io.WriteString(w, "zip of "+student)
	return err
}

func (s *shelf) Forget(ctx context.Context, who practice.Who, student string) error {
	_, err := s.roster.Erase(ctx, who, student)
	return err
}

func (s *shelf) Folder(_ context.Context, _ practice.Who, w io.Writer) error {
	_, err := io.WriteString(w, "zip")
	return err
}

func (s *shelf) Bring(context.Context, io.ReaderAt, int64) (practice.Studio, error) {
	return practice.Studio{ID: "millgate-hall", Name: "Millgate Hall"}, s.brings
}

func (s *shelf) Backups() ([]Backup, error) {
	return []Backup{{"a.backup", time.Unix(1.8e9, 0), 2e6, BackupCheck{}}, {"c.backup", time.Unix(1.7e9, 0), 2e6, BackupCheck{time.Unix(1.8e9, 0), true}},
		{"d.backup", time.Unix(1.6e9, 0), 2e6, BackupCheck{time.Unix(1.8e9, 0), false}}}, nil
}

func (s *shelf) BackUp(context.Context) (string, error) { return "a.backup", nil }

func (s *shelf) OpenBackup(name string) (io.ReadCloser, error) {
	if name != "a.backup" {
		return nil, practice.Fault{Code: practice.NotFound, Field: "backup"}
	}
	return io.NopCloser(strings.NewReader("sealed")), nil
}

func (s *shelf) VerifyBackup(name string) error {
	if name == "d.backup" {
		return practice.Fault{Code: practice.BackupBroken}
	}
	_, err := s.OpenBackup(name)
	return err
}

func (s *shelf) CheckBackup(r io.Reader) (time.Time, int64, error) {
	raw, err := io.ReadAll(r)
	if err == nil && string(raw) != "sealed" {
		err = practice.Fault{Code: practice.BackupBroken}
	}
	return time.Unix(1.8e9, 0), 7, err
}

func (s *shelf) Restore(name string) ([]string, error) {
	return []string{"aplomb restore " + name}, nil
}

// peopled is the hall with everybody in it.
func peopled(t testing.TB) *hall {
	t.Helper()
	h := newHall(t, "http://localhost:8420")
	link, _, err := h.Account.FirstLink(t.Context())
	h.ok(err)
	ticket, err := h.Account.SetUp(t.Context(), strings.TrimPrefix(link.Path, "/begin/"), account.Setup{Studio: "Millgate Hall", Zone: "Europe/London",
		Entry: account.Entry{Name: "Ines Marlow", Email: "ines@millgate.example", Password: phrase}}, "")
	h.ok(err)
	h.in["ines"], h.ids["ines"] = ticket.Cookie, ticket.Who.ID
	owner := ticket.Who
	for _, p := range []struct {
		name string
		role practice.Role
	}{{"Tom", practice.Coach}, {"Una", practice.Coach}, {"Asa", practice.Assistant}} {
		email := strings.ToLower(p.name) + "@millgate.example"
		link, _, err := h.Account.Invite(t.Context(), owner, p.name, email, p.role)
		h.ok(err)
		ticket, err := h.Account.Accept(t.Context(), "millgate-hall", link.Path[len("/in/millgate-hall/"):], account.Entry{Name: p.name, Email: email, Password: phrase}, "")
		h.ok(err)
		h.in[strings.ToLower(p.name)], h.ids[strings.ToLower(p.name)] = ticket.Cookie, ticket.Who.ID
	}
	born := practice.DateOf(2013, 5, 1)
	for _, s := range []practice.Student{{ID: "mira", Name: "Mira Vane", Born: &born, Guardian: "Maren Vane", Coach: h.ids["tom"]}, {ID: "otto", Name: "Otto Lind", Coach: h.ids["una"]}} {
		_, err := h.store.PutStudent(t.Context(), owner, s, 0)
		h.ok(err)
	}
	_, err = h.store.PutGuardian(t.Context(), owner, practice.Guardian{ID: "maren", Name: "Maren Vane", Students: []string{"mira"}}, 0)
	h.ok(err)
	for _, own := range []struct {
		kind practice.DoorFor
		of   string
	}{{practice.StudentDoor, "mira"}, {practice.StudentDoor, "otto"}, {practice.GuardianDoor, "maren"}} {
		link, err := h.Account.OwnLink(t.Context(), owner, own.kind, own.of)
		h.ok(err)
		h.links[own.of] = link.Path
		ticket, err := h.Account.Enter(t.Context(), "millgate-hall", link.Path[len("/in/millgate-hall/"):], "")
		h.ok(err)
		h.in[own.of] = ticket.Cookie
	}
	return h
}

func (h *hall) ok(err error) {
	h.t.Helper()
	if err != nil {
		h.t.Fatal(err)
	}
}

// ask asks as somebody, by name; form is that of a POST.
func (h *hall) ask(as, method, path string, form url.Values, change ...func(*http.Request)) *httptest.ResponseRecorder {
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	r.Host = h.site.Host
	r.RemoteAddr = "127.0.0.1:5000"
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if c := h.in[as]; c != "" {
		r.AddCookie(&http.Cookie{Name: "aplomb", Value: c})
	}
	for _, f := range change {
		f(r)
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}
