package web

import (
	"encoding/json"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"testing"

	"aplomb/internal/practice"
)

// phonesAtOnce and entriesEach are what a large studio's students bring when
// the line comes back for all of them.
const (
	phonesAtOnce = 500
	entriesEach  = 100
)

// BenchmarkSync is 500 phones with 100 entries each, all at once, over HTTP
// handlers, sign-in and a SQLite file as the program opens it. One operation is
// all 500.
func BenchmarkSync(b *testing.B) {
	h := peopled(b)
	h.log.Grow(1 << 20)
	owner := practice.Who{Studio: "millgate-hall", ID: h.ids["ines"], Role: practice.Owner}
	names := make([]string, phonesAtOnce)
	for i := range names {
		names[i] = fmt.Sprintf("student-%d", i)
		_, err := h.store.PutStudent(b.Context(), owner, practice.Student{ID: names[i], Name: names[i]}, 0)
		h.ok(err)
		link, err := h.Account.OwnLink(b.Context(), owner, practice.StudentDoor, names[i])
		h.ok(err)
		ticket, err := h.Account.Enter(b.Context(), "millgate-hall", link.Path[len("/in/millgate-hall/"):], "")
		h.ok(err)
		h.in[names[i]] = ticket.Cookie
	}
	round := 0
	for b.Loop() {
		round++
		var all sync.WaitGroup
		for _, name := range names {
			all.Go(func() {
				w := h.sends(name, bagOf(name, round))
				var a syncAnswer
				if err := json.Unmarshal(w.Body.Bytes(), &a); w.Code != http.StatusOK || err != nil || len(a.Kept) != entriesEach {
					b.Errorf("%s: %d, %d kept, %v", name, w.Code, len(a.Kept), err)
				}
			})
		}
		all.Wait()
	}
	b.ReportMetric(float64(phonesAtOnce*entriesEach*round)/b.Elapsed().Seconds(), "entries/s")
	log, err := h.store.Log(b.Context(), owner, names[0])
	if h.ok(err); len(log.Attempts)+len(log.Tallies)+len(log.Sessions) != entriesEach*round {
		b.Errorf("%d rows", len(log.Attempts)+len(log.Tallies)+len(log.Sessions))
	}
}

// bagOf is a long session of a phone: tries, sets counted, and the session.
func bagOf(student string, round int) string {
	var entries []string
	add := func(kind, body string) {
		entries = append(entries, fmt.Sprintf(`{"id":"%s-%d-%d","n":1,"kind":"%s","at":"2026-06-01T09:%02d:%02d.250+01:00","gone":false,"body":%s}`,
			student, round, len(entries), kind, len(entries)/60, len(entries)%60, body))
	}
	session := fmt.Sprintf("%s-%d-0", student, round)
	add("session", `{"minutes":45,"effort":6,"pain_before":0,"pain":1,"numb":false,"swollen":false}`)
	for i := 1; i < entriesEach; i++ {
		if i%10 == 0 {
			add("tally", fmt.Sprintf(`{"session":"%s","drill":"open-try","set":%d,"tries":10,"caught":3,"best":4.5,"second_best":2.5,"timed":"counted"}`, session, i/10))
			continue
		}
		add("try", fmt.Sprintf(`{"session":"%s","drill":"open-try","item":"i4","set":%d,"rep":%d,"entry":"kick","support":"open","surface":"floor","passed":true,"seconds":%d.4,"timed":"stopwatch","end":"over"}`,
			session, 1+i/10, i%10, 1+i%9))
	}
	return `{"phone":"k3","now":"2026-06-01T10:00:00+01:00","entries":[` + strings.Join(entries, ",") + `]}`
}
