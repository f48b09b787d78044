package app

import (
	"compress/gzip"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"net/url"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"aplomb/internal/demo"
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// The big studio: the demo's students over and over, their logs repeated back
// in time until each has so many tries.
const (
	bigStudents = 2000
	bigAttempts = 1000
)

// BenchmarkPages fills a studio of 2,000 students and 2,000,000 tries, works
// out every look, and asks for pages as a signed-in owner: the median time of
// the server, and what the page weighs compressed.
func BenchmarkPages(b *testing.B) {
	c := Config{Data: b.TempDir(), Listen: "localhost:0", Log: quiet(), Now: time.Now}
	if _, _, err := c.NewKey(); err != nil {
		b.Fatal(err)
	}
	students := fillBig(b, c)
	d := &Demo{}
	var err error
	if d.App, err = New(b.Context(), c); err != nil {
		b.Fatal(err)
	}
	defer d.Close()
	if err := d.owner(b.Context()); err != nil {
		b.Fatal(err)
	}
	start := time.Now()
	for {
		did, err := d.desk.Refresh(b.Context(), demo.StudioID, 100)
		if err != nil {
			b.Fatal(err)
		}
		if did == 0 {
			break
		}
	}
	b.Logf("%d looks worked out in %.0f s", len(students), time.Since(start).Seconds())
	cookie := signedIn(b, d)
	next := planning.Next(practice.Zone{}.At(time.Now()).Date()).String()
	for _, page := range []struct{ name, path string }{
		{"Desk", "/"}, {"Find", "/?find=tennick"}, {"Student", "/students/%s"}, {"Tests", "/students/%s/tests"}, {"Review", "/students/%s/week/" + next},
		{"Records", "/records?find=tennick"}, {"Record", "/students/%s/trail"}, {"Trail", "/trail"},
	} {
		b.Run(page.name, func(b *testing.B) {
			var took []time.Duration
			size := 0
			for i := 0; b.Loop(); i++ {
				at := page.path
				if strings.Contains(at, "%s") {
					at = fmt.Sprintf(at, students[(i*37)%len(students)])
				}
				got, spent := ask(d, at, cookie)
				if got.Code != http.StatusOK {
					b.Fatalf("%s: %d", at, got.Code)
				}
				took, size = append(took, spent), got.Body.Len()
			}
			slices.Sort(took)
			b.ReportMetric(float64(took[len(took)/2].Microseconds())/1000, "ms-p50")
			b.ReportMetric(float64(took[len(took)*95/100].Microseconds())/1000, "ms-p95")
			b.ReportMetric(float64(size)/1000, "kB-sent")
		})
	}
	b.Run("FirstPage", func(b *testing.B) {
		for b.Loop() {
			b.ReportMetric(float64(weight(b, d, "/", cookie, map[string]bool{}))/1000, "kB-sent")
		}
	})
}

var fetched = regexp.MustCompile(`(?:src|href)="(/static/[^"]+)"|url\("([^"]+)"\)`)

// weight is the bytes sent for a page with everything it names, the sheets it
// names too; every font counts, needed or not.
func weight(b *testing.B, d *Demo, at string, cookie *http.Cookie, had map[string]bool) (sum int) {
	if had[at] {
		return 0
	}
	had[at] = true
	got, _ := ask(d, at, cookie)
	if got.Code != http.StatusOK {
		b.Fatalf("%s: %d", at, got.Code)
	}
	sum = got.Body.Len()
	text := got.Body.Bytes()
	if got.Header().Get("Content-Encoding") == "gzip" {
		unpack, err := gzip.NewReader(got.Body)
		if err != nil {
			b.Fatal(err)
		}
		if text, err = io.ReadAll(unpack); err != nil {
			b.Fatal(err)
		}
	}
	for _, m := range fetched.FindAllSubmatch(text, -1) {
		next := string(m[1])
		if next == "" {
			next = path.Join(path.Dir(at), string(m[2]))
		}
		sum += weight(b, d, next, cookie, had)
	}
	return sum
}

// ask has the server answer one request.
func ask(d *Demo, path string, cookie *http.Cookie) (*httptest.ResponseRecorder, time.Duration) {
	r := httptest.NewRequest(http.MethodGet, d.URL+path, nil)
	r.RemoteAddr = "127.0.0.1:4711"
	r.AddCookie(cookie)
	r.Header.Set("Accept-Encoding", "gzip")
	w := httptest.NewRecorder()
	start := time.Now()
	d.server.Handler.ServeHTTP(w, r)
	return w, time.Since(start)
}

func signedIn(b *testing.B, d *Demo) *http.Cookie {
	form := url.Values{"studio": {demo.StudioID}, "email": {d.Email}, "password": {d.Password}}
	r := httptest.NewRequest(http.MethodPost, d.URL+"/sign-in", strings.NewReader(form.Encode()))
	r.RemoteAddr = "127.0.0.1:4711"
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	w := httptest.NewRecorder()
	d.server.Handler.ServeHTTP(w, r)
	for _, c := range w.Result().Cookies() {
		if c.Value != "" {
			return c
		}
	}
	b.Fatalf("not signed in: %d", w.Code)
	return nil
}

// fillBig keeps the big studio and says who is in it.
func fillBig(b *testing.B, c Config) (ids []string) {
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		b.Fatal(err)
	}
	one, err := demo.New(library.Builtin(), zone.At(c.Now()).Date(), func(planning.Reason) string { return "" })
	if err != nil {
		b.Fatal(err)
	}
	s, _, err := c.OpenStore(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	err = s.Load(b.Context(), atDesk(demo.StudioID), func(l *store.Loader) error {
		err := l.Studio(one.Studio)
		err = each(err, one.People, l.Person)
		for i := range bigStudents {
			student := one.Students[i%len(one.Students)]
			log := one.Logs[student.ID]
			student.ID, student.Group = fmt.Sprintf("%s-%d", student.ID, i), ""
			ids = append(ids, student.ID)
			err = each(err, []practice.Student{student}, l.Student)
			if err == nil {
				err = loadBig(l, student.ID, log)
			}
		}
		return err
	})
	if err != nil {
		b.Fatal(err)
	}
	return ids
}

// loadBig keeps the log again and again, each time twelve weeks earlier.
func loadBig(l *store.Loader, student string, log *practice.Log) (err error) {
	id := func(old string, turn int) string { return fmt.Sprintf("%s-%s-%d", student, old, turn) }
	back := func(at practice.Instant, turn int) practice.Instant {
		at.UnixNano -= int64(turn) * int64(84*24*time.Hour)
		return at
	}
	for _, w := range log.Weeks {
		w.Student = student
		err = each(err, []practice.Week{w}, l.Week)
	}
	for turn, tries := 0, 0; tries < bigAttempts && len(log.Attempts) > 0; turn++ {
		for _, a := range log.Attempts {
			a.ID, a.Student, a.Session, a.At = id(a.ID, turn), student, "", back(a.At, turn)
			err = each(err, []practice.Attempt{a}, l.Attempt)
			tries++
		}
		for _, t := range log.Tallies {
			t.ID, t.Student, t.Session, t.At = id(t.ID, turn), student, "", back(t.At, turn)
			err = each(err, []practice.Tally{t}, l.Tally)
		}
		for _, s := range log.Sessions {
			s.ID, s.Student, s.Week, s.At = id(s.ID, turn), student, "", back(s.At, turn)
			err = each(err, []practice.Session{s}, l.Session)
		}
	}
	for _, p := range log.Probes {
		p.ID, p.Student = id(p.ID, 0), student
		err = each(err, []practice.ProbeResult{p}, l.Probe)
	}
	return err
}
