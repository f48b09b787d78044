package app

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"sync/atomic"
	"testing"
)

// line is what is between a phone and the studio: it can be cut, and it counts
// what comes through.
type line struct {
	*httptest.Server
	cut   atomic.Bool
	bytes atomic.Int64
}

// lineTo is a line to the program.
func lineTo(t testing.TB, studio string) *line {
	t.Helper()
	to, err := url.Parse(studio)
	if err != nil {
		t.Fatal(err)
	}
	l := &line{}
	proxy := &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) {
		r.SetURL(to)
		r.Out.Host = to.Host
		if r.In.Header.Get("Origin") != "" {
			r.Out.Header.Set("Origin", studio)
		}
	}, ModifyResponse: func(r *http.Response) error {
		if at := r.Header.Get("Location"); at != "" {
			u, err := url.Parse(at)
			if err != nil {
				return err
			}
			r.Header.Set("Location", u.RequestURI())
		}
		return nil
	}}
	l.Server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if l.cut.Load() {
			panic(http.ErrAbortHandler)
		}
		proxy.ServeHTTP(tallied{w, &l.bytes}, r)
	}))
	t.Cleanup(l.Close)
	u, err := url.Parse(l.URL)
	if err != nil {
		t.Fatal(err)
	}
	l.URL = "http://localhost:" + u.Port() // a secure context, as the cookie is of this name
	return l
}

// tallied adds up the bytes of answers, as they are sent.
type tallied struct {
	http.ResponseWriter
	n *atomic.Int64
}

func (c tallied) Write(b []byte) (int, error) {
	c.n.Add(int64(len(b)))
	return c.ResponseWriter.Write(b)
}
