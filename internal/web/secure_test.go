package web

import (
	gz "compress/gzip"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/netip"
	"net/url"
	"os"
	"regexp"
	"strings"
	"testing"
	"time"

	"aplomb/internal/practice"
)

func TestHeaders(t *testing.T) {
	h := peopled(t)
	for _, path := range []string{"/sign-in", "/", "/nothing", "/healthz"} {
		got := h.ask("ines", "GET", path, nil).Header()
		csp := got.Get("Content-Security-Policy")
		if !strings.Contains(csp, "default-src 'none'") || !strings.Contains(csp, "frame-ancestors 'none'") || strings.Contains(csp, "unsafe") {
			t.Errorf("%s: %s", path, csp)
		}
		for name, want := range map[string]string{"Referrer-Policy": "no-referrer", "X-Content-Type-Options": "nosniff", "Cache-Control": "no-store", "Strict-Transport-Security": ""} {
			if got.Get(name) != want {
				t.Errorf("%s: %s is %q", path, name, got.Get(name))
			}
		}
	}
}

// No page has script or style of its own, nor anything from another site.
func TestPagesKeepTheirPolicy(t *testing.T) {
	inline := regexp.MustCompile(`(?i)<script(?:[^>]*)>[^<]|<style|\sstyle=|\son[a-z]+=|javascript:|(?:src|href)="(?:https?:)?//`)
	files, err := pageFiles.ReadDir("page")
	if err != nil || len(files) < 10 {
		t.Fatal(len(files), err)
	}
	for _, f := range files {
		raw, err := pageFiles.ReadFile("page/" + f.Name())
		if err != nil {
			t.Fatal(err)
		}
		if found := inline.Find(raw); found != nil {
			t.Errorf("%s: %s", f.Name(), found)
		}
	}
}

// Pages and scripts are compressed for browsers that take it, with something
// random beside them; fonts, which are so already, and short answers are not.
func TestAnswersAreCompressed(t *testing.T) {
	h := peopled(t)
	gzip := func(r *http.Request) { r.Header.Set("Accept-Encoding", "gzip") }
	plain, packed := h.ask("", "GET", "/sign-in", nil), h.ask("", "GET", "/sign-in", nil, gzip)
	unpack, err := gz.NewReader(packed.Body)
	if err != nil || packed.Header().Get("Content-Encoding") != "gzip" || packed.Header().Get("Vary") != "Accept-Encoding" {
		t.Fatalf("%v %v", packed.Header(), err)
	}
	if text, err := io.ReadAll(unpack); err != nil || string(text) != plain.Body.String() {
		t.Errorf("another page: %v", err)
	}
	if unpack.Comment == "" && unpack.Name == "" && len(unpack.Extra) == 0 {
		t.Error("nothing random beside the page: its length gives away what is in it")
	}
	for path, want := range map[string]string{frame{}.Static("htmx.min.js"): "gzip", frame{}.Static("aplomb.css"): "gzip", frame{}.Static("atkinson-hyperlegible-latin-400-normal.woff2"): "", "/healthz": ""} {
		if got := h.ask("", "GET", path, nil, gzip); got.Code != http.StatusOK || got.Header().Get("Content-Encoding") != want {
			t.Errorf("%s: %d, %q, want %q", path, got.Code, got.Header().Get("Content-Encoding"), want)
		}
	}
}

func TestCookies(t *testing.T) {
	h := peopled(t)
	form := url.Values{"studio": {"millgate-hall"}, "email": {"ines@millgate.example"}, "password": {phrase}}
	c := h.ask("", "POST", "/sign-in", form).Result().Cookies()
	if len(c) != 1 || c[0].Name != "aplomb" || !c[0].HttpOnly || c[0].SameSite != http.SameSiteLaxMode || c[0].Secure {
		t.Errorf("on this machine: %+v", c)
	}
	h.Server.site, _ = url.Parse("https://desk.millgate.example")
	w := h.ask("", "POST", "/sign-in", form)
	c = w.Result().Cookies()
	if len(c) != 1 || c[0].Name != "__Host-aplomb" || !c[0].Secure || c[0].Path != "/" || c[0].Domain != "" {
		t.Errorf("by https: %+v", c)
	}
	if !strings.HasPrefix(w.Header().Get("Strict-Transport-Security"), "max-age=31536000") {
		t.Error("no HSTS by https")
	}
}

// The browser's cookie is another one after signing in, and the one before is
// no good.
func TestNoFixedSession(t *testing.T) {
	h := peopled(t)
	form := url.Values{"studio": {"millgate-hall"}, "email": {"ines@millgate.example"}, "password": {phrase}}
	c := h.ask("ines", "POST", "/sign-in", form).Result().Cookies()
	if len(c) != 1 || c[0].Value == h.in["ines"] {
		t.Fatalf("%+v", c)
	}
	if w := h.ask("ines", "GET", "/account", nil); w.Code != http.StatusSeeOther {
		t.Errorf("the cookie before: %d", w.Code)
	}
}

func TestOtherSitesMayNotAct(t *testing.T) {
	h := peopled(t)
	for name, change := range map[string]func(*http.Request){
		"cross-site":         func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") },
		"same-site":          func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-site") },
		"an older browser's": func(r *http.Request) { r.Header.Set("Origin", "https://elsewhere.example") },
	} {
		if w := h.ask("ines", "POST", "/people", url.Values{"name": {"Eve"}, "email": {"e@e.example"}, "role": {"owner"}}, change); w.Code != http.StatusForbidden {
			t.Errorf("%s request: %d", name, w.Code)
		}
	}
	people, err := h.store.People(t.Context(), practice.Who{Studio: "millgate-hall"})
	if err != nil || len(people) != 4 {
		t.Errorf("%d people, %v", len(people), err)
	}
	if w := h.ask("ines", "POST", "/sign-out", nil, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "same-origin") }); w.Code != http.StatusSeeOther {
		t.Errorf("from here: %d", w.Code)
	}
}

func TestOtherNamesAreTold(t *testing.T) {
	h := peopled(t)
	w := h.ask("ines", "GET", "/", nil, func(r *http.Request) { r.Host = "rebound.example" })
	if w.Code != http.StatusMisdirectedRequest || !strings.Contains(w.Body.String(), "http://localhost:8420") {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
	if w := h.ask("", "GET", "/healthz", nil, func(r *http.Request) { r.Host = "10.1.2.3" }); w.Code != http.StatusOK {
		t.Errorf("a watcher: %d", w.Code)
	}
}

func TestProxies(t *testing.T) {
	h := newHall(t, "https://desk.millgate.example")
	h.Proxies, h.ProxiesOnly = []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}, true
	from := func(peer, forwarded, proto string) func(*http.Request) {
		return func(r *http.Request) {
			r.RemoteAddr = peer
			r.Header.Set("X-Forwarded-For", forwarded)
			r.Header.Set("X-Forwarded-Proto", proto)
		}
	}
	for _, c := range []struct {
		peer, forwarded, proto string
		status                 int
		client                 string
	}{
		{"10.0.0.1:1", "203.0.113.7", "https", 200, "203.0.113.7"},
		{"10.0.0.1:1", "198.51.100.1, 203.0.113.7", "https", 200, "203.0.113.7"}, // the left one was made up
		{"10.0.0.1:1", "203.0.113.7, 10.0.0.9", "https", 200, "203.0.113.7"},
		{"10.0.0.1:1", "nonsense", "https", 200, "10.0.0.1"},
		{"10.0.0.1:1", "203.0.113.7", "http", 308, "203.0.113.7"},
		{"203.0.113.9:1", "10.0.0.1", "https", 403, "203.0.113.9"},
		{"127.0.0.1:1", "203.0.113.7", "https", 403, "127.0.0.1"},
	} {
		h.log.Reset()
		w := h.ask("", "GET", "/forgotten", nil, from(c.peer, c.forwarded, c.proto))
		if w.Code != c.status || !strings.Contains(h.log.String(), "from="+c.client+" ") {
			t.Errorf("%+v: %d, %s", c, w.Code, h.log.String())
		}
	}
}

// A page asked for without TLS is asked for again with it; what was sent
// without it is refused, and never sent on.
func TestNothingIsSentOnFromPlainHTTP(t *testing.T) {
	h := newHall(t, "https://desk.millgate.example")
	h.Proxies = []netip.Prefix{netip.MustParsePrefix("127.0.0.1/32")}
	plainly := func(r *http.Request) { r.Header.Set("X-Forwarded-Proto", "http") }
	if w := h.ask("", "GET", "/sign-in?next=/me", nil, plainly); w.Code != http.StatusPermanentRedirect || w.Header().Get("Location") != "https://desk.millgate.example/sign-in?next=/me" {
		t.Errorf("GET: %d %s", w.Code, w.Header().Get("Location"))
	}
	if w := h.ask("", "POST", "/sign-in", url.Values{"password": {phrase}}, plainly); w.Code != http.StatusForbidden {
		t.Errorf("POST: %d", w.Code)
	}
}

// TestLogHasNoSecrets does all there is to do with secrets, then looks for
// them in the log.
func TestLogHasNoSecrets(t *testing.T) {
	h := peopled(t)
	secret := func(path string) string { return path[strings.LastIndex(path, "/")+1:] }
	h.ask("", "POST", "/sign-in", url.Values{"studio": {"millgate-hall"}, "email": {"ines@millgate.example"}, "password": {phrase}})
	h.ask("", "GET", h.links["mira"], nil)
	h.ask("", "POST", h.links["mira"], nil)
	h.ask("", "GET", "/begin/"+secret(h.links["mira"]), nil)
	h.ask("ines", "GET", "/account", nil)
	h.ask("ines", "POST", "/people", url.Values{"name": {"Bo"}, "email": {"bo@millgate.example"}, "role": {"coach"}})
	h.fails = errors.New("away")
	h.ask("", "GET", "/readyz", nil)
	if strings.Count(h.log.String(), "msg=request") < 7 {
		t.Fatalf("the log is not being written:\n%s", h.log.String())
	}
	for name, s := range map[string]string{"password": phrase, "link": secret(h.links["mira"]), "cookie": strings.SplitN(h.in["ines"], ".", 2)[1],
		"address": "ines@millgate", "name": "Mira"} {
		if strings.Contains(h.log.String(), s) {
			t.Errorf("the log has a %s:\n%s", name, h.log.String())
		}
	}
}

func TestSignInIsLimited(t *testing.T) {
	h := peopled(t)
	try := func(email, from string) int {
		return h.ask("", "POST", "/sign-in", url.Values{"studio": {"millgate-hall"}, "email": {email}, "password": {"wrong"}},
			func(r *http.Request) { r.RemoteAddr = from }).Code
	}
	for i := range 10 {
		if got := try("Ines@millgate.example", fmt.Sprintf("192.0.2.%d:1", i)); got != http.StatusUnauthorized {
			t.Fatalf("try %d: %d", i, got)
		}
	}
	if got := try("ines@millgate.example", "198.51.100.1:1"); got != http.StatusTooManyRequests {
		t.Errorf("one account from many addresses: %d", got)
	}
	for i := range 30 {
		try(fmt.Sprintf("p%d@millgate.example", i), "203.0.113.5:1")
	}
	if got := try("tom@millgate.example", "203.0.113.5:1"); got != http.StatusTooManyRequests {
		t.Errorf("many accounts from one address: %d", got)
	}
	if got := try("tom@millgate.example", "203.0.113.6:1"); got != http.StatusUnauthorized {
		t.Errorf("another address: %d", got)
	}
	h.clock = h.clock.Add(time.Minute)
	if got := try("ines@millgate.example", "198.51.100.1:1"); got != http.StatusUnauthorized {
		t.Errorf("a minute later: %d", got)
	}
}

func TestLinksAreLimited(t *testing.T) {
	h := peopled(t)
	for range 60 {
		h.ask("", "GET", "/in/millgate-hall/guess", nil)
	}
	if w := h.ask("", "GET", h.links["mira"], nil); w.Code != http.StatusTooManyRequests {
		t.Errorf("after 60 guesses: %d", w.Code)
	}
}

func TestLimiterForgets(t *testing.T) {
	now := time.Unix(0, 0)
	l := newLimiter(time.Second, 1, 100, func() time.Time { return now })
	for i := range 1000 {
		now = now.Add(time.Microsecond)
		l.allow(fmt.Sprint(i))
	}
	if len(l.keys) > 100 {
		t.Errorf("%d keys", len(l.keys))
	}
	if l.allow("999") {
		t.Error("the newest was forgotten")
	}
	if got := network(netip.MustParseAddr("2001:db8:1:2:3:4:5:6")); got != "2001:db8:1:2::/64" {
		t.Error(got)
	}
}

func TestBodiesAreLimited(t *testing.T) {
	h := peopled(t)
	if w := h.ask("", "POST", "/sign-in", url.Values{"email": {strings.Repeat("a", maxBody)}}); w.Code != http.StatusRequestEntityTooLarge {
		t.Errorf("%d", w.Code)
	}
	if w := h.ask("", "POST", "/sign-in", nil, func(r *http.Request) { r.URL.RawQuery = "x=%zz" }); w.Code != http.StatusBadRequest {
		t.Errorf("a query that cannot be read: %d", w.Code)
	}
}

func TestOnlyOwnAddressesAreGoneOnTo(t *testing.T) {
	for to, want := range map[string]string{
		"/account": "/account", "/me?x=1": "/me?x=1", "": "/", "//evil.example": "/", "/\\evil.example": "/", "https://evil.example": "/",
		"javascript:alert(1)": "/", "/%2f/x": "/%2f/x", "account": "/", "/a\r\nb": "/",
	} {
		if got := local(to); got != want {
			t.Errorf("%q leads to %q", to, got)
		}
	}
}

// What a person typed is text, never markup.
func TestTypedTextIsText(t *testing.T) {
	h := peopled(t)
	w := h.ask("ines", "POST", "/people", url.Values{"name": {`"><b>Bo</b>`}, "email": {"not an address"}, "role": {"coach"}})
	if w.Code != http.StatusUnprocessableEntity || strings.Contains(w.Body.String(), "<b>Bo") || !strings.Contains(w.Body.String(), "&lt;b&gt;Bo") {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
}

// A dearer sign-in is asked for before what guards the account is changed.
func TestStaleSignInsChangeNothing(t *testing.T) {
	h := peopled(t)
	h.clock = h.clock.Add(time.Hour)
	for path, form := range map[string]url.Values{
		"/account/name":    {"name": {"Ines"}, "email": {"new@millgate.example"}},
		"/account/passkey": {"do": {"remove"}, "id": {"x"}},
		"/passkey/new":     nil,
	} {
		if w := h.ask("ines", "POST", path, form); w.Code != http.StatusForbidden || !strings.Contains(w.Body.String(), "/sign-in?next=%2faccount") && !strings.Contains(w.Body.String(), "/sign-in?next=%2Faccount") {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
}

// A page that fails says so calmly, and says nothing of the cause.
func TestPanicsAreCaught(t *testing.T) {
	h := newHall(t, "http://localhost:8420")
	h.Server.handler = h.guard(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { panic("a secret cause") }))
	w := h.ask("", "GET", "/", nil)
	if w.Code != http.StatusInternalServerError || strings.Contains(w.Body.String(), "secret") || !strings.Contains(h.log.String(), "a secret cause") {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
}

func TestStoreAwayIsSaid(t *testing.T) {
	h := peopled(t)
	if err := h.store.Close(); err != nil {
		t.Fatal(err)
	}
	h.fails = errors.New("away")
	if w := h.ask("", "GET", "/readyz", nil); w.Code != http.StatusServiceUnavailable {
		t.Errorf("/readyz: %d", w.Code)
	}
	if w := h.ask("", "GET", "/healthz", nil); w.Code != http.StatusOK {
		t.Errorf("/healthz: %d", w.Code)
	}
	if w := h.ask("ines", "GET", "/account", nil); w.Code < 500 || w.Header().Get("Set-Cookie") != "" {
		t.Errorf("a page: %d, cookie %q", w.Code, w.Header().Get("Set-Cookie"))
	}
}

// The files of others are the ones VENDORED.md names.
func TestVendored(t *testing.T) {
	raw, err := os.ReadFile("static/VENDORED.md")
	if err != nil {
		t.Fatal(err)
	}
	sums := regexp.MustCompile(`([0-9a-f]{64})  (\S+)`).FindAllStringSubmatch(string(raw), -1)
	if len(sums) != 5 {
		t.Fatalf("%d files", len(sums))
	}
	for _, s := range sums {
		if got := sumOf(t, s[2]); got != s[1] {
			t.Errorf("%s: %s", s[2], got)
		}
	}
}
