package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"aplomb/internal/desk"
	"aplomb/internal/practice"
)

// sends posts a request of a phone.
func (h *hall) sends(as, body string) *httptest.ResponseRecorder {
	r := httptest.NewRequest(http.MethodPost, syncPath, strings.NewReader(body))
	r.Host, r.RemoteAddr = h.site.Host, "127.0.0.1:5000"
	r.Header.Set("Content-Type", "application/json")
	if c := h.in[as]; c != "" {
		r.AddCookie(&http.Cookie{Name: "aplomb", Value: c})
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// The answer names every entry; what is kept is in the log.
func TestSync(t *testing.T) {
	h := peopled(t)
	w := h.sends("mira", `{"phone":"k3","now":"2026-06-01T10:00:00+01:00","entries":[
		{"id":"a","n":1,"kind":"try","at":"2026-06-01T09:58:41.000+01:00","gone":false,"body":{"drill":"open-try","seconds":2.5}},
		{"id":"b","n":"one","kind":"try","at":"2026-06-01T09:58:41+01:00","body":{"drill":"open-try"}},
		{"id":"c","n":1,"kind":"try","at":7,"body":{"drill":"open-try"}},
		{"id":"d","n":1,"kind":"try","at":"2026-06-01T09:58:41+01:00","body":{"drill":"nobodys"}},
		{"id":"s","n":2,"kind":"session","at":"2026-06-01T09:50:00+01:00","body":{"pain":6,"pain_site":"wrist"}},
		5, {"id":"e","n":3,"kind":"mark","at":"2026-06-01T09:58:41+01:00","gone":true}]}`)
	if w.Code != http.StatusOK || w.Header().Get("Content-Type") != "application/json" {
		t.Fatal(w.Code, w.Body)
	}
	var a syncAnswer
	h.ok(json.Unmarshal(w.Body.Bytes(), &a))
	if got := fmt.Sprint(a.Kept); got != "[[a 1] [s 2] [e 3]]" {
		t.Errorf("kept %s", got)
	}
	refused := ""
	for _, r := range a.Refused {
		refused += r.ID + " " + r.Field + "; "
		if r.Say == "" || strings.Contains(r.Say, "web.") {
			t.Errorf("%s: %q", r.ID, r.Say)
		}
	}
	if refused != "b n; c at; d drill;  id; " {
		t.Errorf("refused %s", refused)
	}
	if len(a.LeftOut) != 1 || a.LeftOut[0].Field != "pain_site" || a.LeftOut[0].ID != "s" || a.Plan == "" || a.Now.UnixNano != h.clock.UnixNano() {
		t.Errorf("%+v", a)
	}
	who := practice.Who{Studio: "millgate-hall"}
	log, err := h.store.Log(t.Context(), who, "mira")
	h.ok(err)
	if len(log.Attempts) != 1 || log.Attempts[0].Seconds.Value != 2.5 || len(log.Sessions) != 1 {
		t.Errorf("%+v", log)
	}
	kept, err := h.store.Student(t.Context(), who, "mira")
	h.ok(err)
	if len(kept.Value.Stops) != 1 {
		t.Errorf("stops: %+v", kept.Value.Stops)
	}
	trail, err := h.store.Changes(t.Context(), who, "mira")
	h.ok(err)
	if last := trail[len(trail)-1]; last.By != "mira" || last.Role != practice.AsStudent {
		t.Errorf("by %s, %s", last.By, last.Role)
	}
}

// A phone without a way in, with too much, too often, or with nothing that can
// be read is told so in JSON, whatever it said it reads.
func TestSyncRefused(t *testing.T) {
	h := peopled(t)
	empty := `{"phone":"k3","now":"2026-06-01T10:00:00+01:00","entries":[]}`
	many := strings.Replace(empty, "[]", "["+strings.Repeat("{},", 500)+"{}]", 1)
	large := strings.Replace(empty, "[]", `[{"id":"a","body":"`+strings.Repeat("x", maxSync)+`"}]`, 1)
	for _, c := range []struct {
		name, as, body string
		want           int
	}{
		{"empty", "mira", empty, http.StatusOK},
		{"nobody", "", empty, http.StatusUnauthorized},
		{"a guardian", "maren", empty, http.StatusForbidden},
		{"a coach", "tom", empty, http.StatusForbidden},
		{"no phone", "mira", strings.Replace(empty, "k3", "", 1), http.StatusBadRequest},
		{"no time", "mira", strings.Replace(empty, "2026", "20", 1), http.StatusBadRequest},
		{"no JSON", "mira", empty[:20], http.StatusBadRequest},
		{"501 entries", "mira", many, http.StatusBadRequest},
		{"half a megabyte", "mira", large, http.StatusRequestEntityTooLarge},
	} {
		w := h.sends(c.as, c.body)
		var said struct{ Error, Fix string }
		if w.Code != c.want || c.want != http.StatusOK && (json.Unmarshal(w.Body.Bytes(), &said) != nil || said.Error == "" || said.Fix == "") {
			t.Errorf("%s: %d %s", c.name, w.Code, w.Body)
		}
	}
	often := 0
	for range 200 {
		w := h.sends("otto", empty)
		if w.Code == http.StatusTooManyRequests && w.Header().Get("Retry-After") == "60" {
			often++
		}
	}
	if often != 80 || h.sends("mira", empty).Code != http.StatusOK {
		t.Errorf("%d of 200 were too often", often)
	}
}

// Another site cannot send in the student's name.
func TestSyncFromAnotherSite(t *testing.T) {
	h := peopled(t)
	w := h.ask("mira", http.MethodPost, syncPath, nil, func(r *http.Request) { r.Header.Set("Sec-Fetch-Site", "cross-site") })
	if w.Code != http.StatusForbidden {
		t.Error(w.Code, w.Body)
	}
}

// Signs in a session are a notice to the coach, whatever the student says by
// words.
func TestSyncTellsTheCoach(t *testing.T) {
	for _, c := range []struct {
		body string
		want desk.Kind
	}{
		{`{"pain":8}`, desk.Hurts}, {`{"numb":true}`, desk.Refer}, {`{"swollen":true,"pain":0}`, desk.Refer}, {`{"pain":1,"numb":false}`, ""},
	} {
		h := peopled(t)
		w := h.sends("otto", `{"phone":"k3","now":"2026-06-01T10:00:00+01:00","entries":[{"id":"s","n":1,"kind":"session","at":"2026-06-01T09:58:41+01:00","body":`+c.body+`}]}`)
		if w.Code != http.StatusOK {
			t.Fatal(w.Code, w.Body)
		}
		look, err := h.Desk.Of(t.Context(), practice.Who{Studio: "millgate-hall", ID: h.ids["una"], Role: practice.Coach}, "otto")
		h.ok(err)
		var got desk.Kind
		for _, n := range look.Notices {
			got = n.Kind
		}
		if got != c.want || len(look.Notices) > 1 {
			t.Errorf("%s: %+v, want %q", c.body, look.Notices, c.want)
		}
		page := h.ask("una", http.MethodGet, "/", nil).Body.String()
		if told := strings.Contains(page, h.Words.Say("notice.signs.title")); told != (c.want == desk.Refer) {
			t.Errorf("%s: on the desk: %v", c.body, told)
		}
	}
}
