// Package web is the pages of a studio in a browser: one route table, handlers
// that return an error, page structs and their templates.
//
// It decides no rights of its own beyond who must have come in at all: what
// somebody may see or do is decided in account and roster.
package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"net/url"
	"time"

	"aplomb/internal/account"
	"aplomb/internal/desk"
	"aplomb/internal/logbook"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/words"

	"github.com/klauspost/compress/gzhttp"
)

// Config is what the pages are made of.
type Config struct {
	Account *account.Account
	Roster  *roster.Roster
	Desk    *desk.Desk
	Bench   *planning.Bench
	Records Records
	Logbook *logbook.Logbook
	// Ready says whether the store answers.
	Ready func(context.Context) error
	Words *words.Book
	Log   *slog.Logger
	Now   func() time.Time
	URL   string // the public origin
	// Proxies may say on whose behalf they ask; nobody else is believed.
	Proxies []netip.Prefix
	// ProxiesOnly turns away whoever does not come through one of them.
	ProxiesOnly bool
}

// Server answers requests.
type Server struct {
	Config
	site    *url.URL
	limits  limits
	cross   *http.CrossOriginProtection
	handler http.Handler
}

// Time limits of one connection, for an http.Server.
const (
	ReadHeaderTimeout = 10 * time.Second
	ReadTimeout       = 30 * time.Second
	WriteTimeout      = 60 * time.Second
	IdleTimeout       = 120 * time.Second
	MaxHeaderBytes    = 32 << 10
	maxBody           = 64 << 10
	maxFolder         = 256 << 20 // of a studio folder that is brought in
	maxBackup         = 4 << 30   // of a backup that is checked
)

// New is a server of the pages. It fails on a URL that is no origin.
func New(c Config) (*Server, error) {
	site, err := url.Parse(c.URL)
	if err != nil {
		return nil, err
	}
	s := &Server{Config: c, site: site, limits: newLimits(c.Now), cross: http.NewCrossOriginProtection()}
	if err := s.cross.AddTrustedOrigin(site.Scheme + "://" + site.Host); err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	for _, r := range s.routes() {
		mux.Handle(r.pattern, s.serve(r))
	}
	mux.Handle("/", s.serve(route{"", anybody, func(*visit) error { return errNoPage }}))
	compress, err := gzhttp.NewWrapper(gzhttp.MinSize(compressFrom), gzhttp.ContentTypes(texts), gzhttp.RandomJitter(jitter, 0, false))
	if err != nil {
		return nil, err
	}
	s.handler = compress(s.guard(mux))
	return s, nil
}

// Answers of text from this many bytes on are compressed, with up to so many
// random bytes more: their length then tells little of what is in them (BREACH,
// 2013).
const (
	compressFrom = 1024
	jitter       = 32
)

var texts = []string{"text/html", "text/css", "text/javascript", "text/plain", "image/svg+xml", "application/json", "application/manifest+json"}

// ServeHTTP answers one request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// secure says whether browsers reach the site by https.
func (s *Server) secure() bool { return s.site.Scheme == "https" }

// door is who gets past the door of a route.
type door int

const (
	anybody  door = iota // whoever asks
	somebody             // whoever is signed in
	staff                // who works in the studio
	linked               // who came by a link of their own
)

type route struct {
	pattern string
	door    door
	handle  func(*visit) error
}

// visit is one request and who makes it.
type visit struct {
	*Server
	w  http.ResponseWriter
	r  *http.Request
	in *account.Signed // nil: nobody is signed in

	lang string // of the pages, ISO 639-1; empty: English
}

func (v *visit) ctx() context.Context { return v.r.Context() }

func (v *visit) who() practice.Who { return v.in.Who }

func (v *visit) say(id string, pairs ...any) string { return v.Words.Say("web."+id, pairs...) }

// serve makes a handler of a route: who is there, whether they may pass, and
// what is said where it fails.
func (s *Server) serve(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		v := &visit{Server: s, w: w, r: r}
		if rt.door == linked {
			v.inTongue()
		}
		err := v.enter(rt.door)
		if err == nil {
			err = rt.handle(v)
		}
		if err != nil {
			v.fail(err)
		}
	})
}

// enter finds out who is there, and turns away who may not pass.
func (v *visit) enter(d door) error {
	c, err := v.r.Cookie(v.cookieName())
	if err == nil {
		in, err := v.Account.Who(v.ctx(), c.Value)
		switch {
		case err == nil:
			v.in = &in
			if in.Renew != nil {
				v.setCookie(*in.Renew)
			}
		case !isSignedOut(err):
			if d != anybody {
				return err
			}
		default:
			v.dropCookie()
		}
	}
	switch {
	case d == anybody:
		return nil
	case v.in == nil:
		return account.ErrSignedOut
	case d == staff && !v.in.Staff(), d == linked && v.in.Staff():
		return practice.Refused(practice.SeeStudent)
	}
	return nil
}

func (v *visit) cookieName() string {
	if v.secure() {
		return "__Host-aplomb"
	}
	return "aplomb"
}

func (v *visit) setCookie(t account.Ticket) {
	http.SetCookie(v.w, &http.Cookie{Name: v.cookieName(), Value: t.Cookie, Path: "/", Expires: t.Expires,
		HttpOnly: true, Secure: v.secure(), SameSite: http.SameSiteLaxMode})
}

func (v *visit) dropCookie() {
	http.SetCookie(v.w, &http.Cookie{Name: v.cookieName(), Path: "/", MaxAge: -1, HttpOnly: true, Secure: v.secure(), SameSite: http.SameSiteLaxMode})
}

// see sends the browser on with a GET.
func (v *visit) see(path string) error {
	http.Redirect(v.w, v.r, path, http.StatusSeeOther)
	return nil
}
