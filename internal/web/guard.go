package web

import (
	"bytes"
	"log/slog"
	"net/http"
	"net/netip"
	"strings"
	"time"
)

// guard is what every request passes before a route sees it: who may ask at
// all, from which site, how much; and what every answer says to the browser.
func (s *Server) guard(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		s.headers(w.Header())
		seen := &seen{ResponseWriter: w}
		began := s.Now()
		defer s.caught(seen, r, began)
		r.Body = http.MaxBytesReader(seen, r.Body, mostOf(r))
		v := &visit{Server: s, w: seen, r: r}
		switch err := s.admit(r); {
		case err != nil:
			v.fail(err)
		case s.plain(r) && r.Method != http.MethodGet:
			v.fail(errNotThisWay)
		case s.plain(r):
			http.Redirect(seen, r, s.site.Scheme+"://"+s.site.Host+r.URL.RequestURI(), http.StatusPermanentRedirect)
		default:
			next.ServeHTTP(seen, r)
		}
	})
}

// mostOf is how much a request may send.
func mostOf(r *http.Request) int64 {
	switch r.URL.Path {
	case folderPath:
		return maxFolder
	case syncPath:
		return maxSync
	case checkPath:
		return maxBackup
	}
	return maxBody
}

// admit refuses who asks past the proxy, another host, or from another site.
func (s *Server) admit(r *http.Request) error {
	if watched(r) {
		return nil
	}
	if s.ProxiesOnly && !s.proxy(peer(r)) {
		return errNotThisWay
	}
	if !strings.EqualFold(r.Host, s.site.Host) {
		return errOtherHost
	}
	if s.cross.Check(r) != nil {
		return errOtherSite
	}
	return nil
}

// plain says whether a proxy says that the browser came without TLS to a site
// that has it.
func (s *Server) plain(r *http.Request) bool {
	return s.secure() && s.proxy(peer(r)) && r.Header.Get("X-Forwarded-Proto") == "http" && !watched(r)
}

// watched are the two addresses a watcher asks from anywhere.
func watched(r *http.Request) bool { return r.URL.Path == "/healthz" || r.URL.Path == "/readyz" }

// headers are those of every answer.
func (s *Server) headers(h http.Header) {
	h.Set("Content-Security-Policy", "default-src 'none'; object-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self'; connect-src 'self'; manifest-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
	h.Set("Cache-Control", "no-store")
	if s.secure() {
		h.Set("Strict-Transport-Security", "max-age=31536000")
	}
}

// caught turns a panic into an error page and writes one line for the log. The
// line has the route, never the address: an address may hold a secret.
func (s *Server) caught(w *seen, r *http.Request, began time.Time) {
	if p := recover(); p != nil {
		s.Log.Error("panic", "route", r.Pattern, "cause", p)
		if w.status == 0 {
			http.Error(w, s.Words.Say("web.error.ours"), http.StatusInternalServerError)
		}
	}
	s.Log.Log(r.Context(), slog.LevelInfo, "request", "method", r.Method, "route", r.Pattern, "status", w.status,
		"from", s.client(r).String(), "ms", s.Now().Sub(began).Milliseconds())
}

// seen remembers the status of an answer.
type seen struct {
	http.ResponseWriter
	status int
}

// Unwrap lets a handler change the time limits of its connection.
func (s *seen) Unwrap() http.ResponseWriter { return s.ResponseWriter }

func (s *seen) WriteHeader(status int) {
	if s.status == 0 {
		s.status = status
	}
	s.ResponseWriter.WriteHeader(status)
}

func (s *seen) Write(b []byte) (int, error) {
	if s.status == 0 {
		s.status = http.StatusOK
	}
	return s.ResponseWriter.Write(b)
}

// peer is the address at the other end of the connection.
func peer(r *http.Request) netip.Addr {
	at, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return at.Addr().Unmap()
}

func (s *Server) proxy(a netip.Addr) bool {
	for _, p := range s.Proxies {
		if p.Contains(a) {
			return true
		}
	}
	return false
}

// client is on whose behalf is asked: the peer, or what the trusted proxies in
// front of it say, read from the right up to the first that is none.
func (s *Server) client(r *http.Request) netip.Addr {
	at := peer(r)
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for i := len(hops) - 1; i >= 0 && s.proxy(at); i-- {
		next, err := netip.ParseAddr(strings.TrimSpace(hops[i]))
		if err != nil {
			break
		}
		at = next.Unmap()
	}
	return at
}

// render writes a page whole, or not at all.
func (v *visit) render(status int, name string, page any) error {
	var b bytes.Buffer
	if err := templates[name].ExecuteTemplate(&b, "base", page); err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "text/html; charset=utf-8")
	v.w.WriteHeader(status)
	_, err := b.WriteTo(v.w)
	if err != nil {
		v.Log.Info("the browser went away", "cause", err)
	}
	return nil
}
