package web

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"aplomb/internal/account"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// phoneOf is a visit of a student of the example to an address, whose phone
// speaks these languages.
func (s *Server) phoneOf(t *testing.T, student, address, languages string) (*visit, *httptest.ResponseRecorder) {
	t.Helper()
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	w, r := httptest.NewRecorder(), httptest.NewRequest("GET", address, nil)
	r.Header.Set("Accept-Language", languages)
	who := practice.Who{Studio: "millgate", ID: student, Role: practice.AsStudent}
	v := &visit{Server: s, w: w, r: r, in: &account.Signed{Who: who, Studio: practice.Studio{ID: "millgate", Name: "Millgate Hall", Zone: zone}}}
	v.inTongue()
	return v, w
}

func (s *Server) planOf(t *testing.T, student, languages string) phonePlan {
	t.Helper()
	v, _ := s.phoneOf(t, student, "/me/plan", languages)
	p, err := v.plan()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// handNext hands the week after the example over to a student.
func (s *Server) handNext(t *testing.T, student string) {
	t.Helper()
	if status, page := s.sentWeek(t, student, "2026-W14", fields("rev", "0", "do", "hand")); status != 303 {
		t.Fatal(status, page)
	}
}

// The plan of the example: today and seven days, every session whole, every
// drill of it with its texts and drawing, no drill that is stopped on offer.
func TestPlanOfTheExample(t *testing.T) {
	s := example(t)
	s.handNext(t, "orla")
	p := s.planOf(t, "orla", "en")
	if p.Today != eve || len(p.Days) != phoneDays || p.Days[7].Date != eve+7 || p.Name != "Orla Tennick" || p.Coach != "Ines Marlow" || p.Zone != "Europe/London" {
		t.Errorf("%s %s %s: %d days from %s", p.Name, p.Coach, p.Zone, len(p.Days), p.Today)
	}
	sessions := 0
	for _, day := range p.Days {
		for _, one := range day.Sessions {
			sessions++
			if !day.Handed || one.Day != day.Date.Weekday().String() || !strings.HasPrefix(one.Week, "orla/"+day.Date.Week().String()+"/") {
				t.Errorf("%+v on %s", one, day.Name)
			}
			p.checkBlocks(t, one.Blocks)
			for _, short := range []*phoneShort{one.Tired, one.Five} {
				if short != nil && short.Minutes <= one.Minutes {
					p.checkBlocks(t, short.Blocks)
				}
			}
		}
		if len(day.Sessions) == 0 && len(day.Off) == 0 {
			t.Errorf("nothing on %s", day.Name)
		}
	}
	if sessions != 5 { // Sunday of the example, and four of the week after
		t.Errorf("%d sessions", sessions)
	}
	for id, d := range p.Drills {
		if d.Easier != "" && p.Drills[d.Easier].Name == "" {
			t.Errorf("%s has the easier %s, which is not there", id, d.Easier)
		}
	}
	raw, err := json.Marshal(p)
	t.Logf("the plan of Orla: %d bytes, %v", len(raw), err)
}

func (p phonePlan) checkBlocks(t *testing.T, blocks []phoneBlock) {
	t.Helper()
	for _, b := range blocks {
		if len(b.Items) == 0 && b.Text == "" || b.Name == "" {
			t.Errorf("nothing to read in %+v", b)
		}
		for _, it := range b.Items {
			d := p.Drills[it.Drill]
			if it.Name == "" || it.Dose == "" || it.Sets < 1 || it.Reps < 1 || d.Setup == "" || d.Criterion == "" || d.Figure == "" || d.Alt == "" || len(d.Ends) == 0 {
				t.Errorf("not whole: %+v %+v", it, d)
			}
		}
	}
}

// A stop is told as what it forbids, on every drill that has it, and nothing
// stopped is offered as easier; why is not told.
func TestPlanOfAStoppedStudent(t *testing.T) {
	s := example(t)
	p := s.planOf(t, "petra", "en")
	if len(p.Stops) != 1 || p.Stops[0].No != practice.Inverted || !strings.Contains(p.Stops[0].Text, "upside down") {
		t.Errorf("%+v", p.Stops)
	}
	for id, d := range p.Drills {
		if inverted := slices.Contains(d.Strains, practice.Inverted); inverted != (d.Stopped != "") {
			t.Errorf("%s: inverted %v, stopped %q", id, inverted, d.Stopped)
		}
		if e := d.Easier; e != "" && p.Drills[e].Stopped != "" {
			t.Errorf("%s offers %s, which is stopped", id, e)
		}
	}
	raw, err := json.Marshal(p)
	if err != nil || strings.Contains(string(raw), "eye") && !strings.Contains(string(raw), "eyes") {
		t.Errorf("the story of the stop is in the plan: %v", err)
	}
	if !s.planOf(t, "ilse", "en").Minor || p.Minor {
		t.Error("who is under age")
	}
}

// The tag is the same as long as the plan is, changes with it, and saves a
// phone that has it the rest.
func TestPlanTag(t *testing.T) {
	s := example(t)
	ask := func(tag string) *httptest.ResponseRecorder {
		v, w := s.phoneOf(t, "orla", "/me/plan", "en")
		v.r.Header.Set("If-None-Match", tag)
		if err := phonePlanJSON(v); err != nil {
			t.Fatal(err)
		}
		return w
	}
	first := ask("")
	tag := first.Header().Get("ETag")
	if again := ask(tag); again.Code != 304 || again.Body.Len() != 0 {
		t.Errorf("%d, %d bytes", again.Code, again.Body.Len())
	}
	s.handNext(t, "orla")
	if after := ask(tag); after.Code != 200 || after.Header().Get("ETag") == tag {
		t.Errorf("%d with the tag of before", after.Code)
	}
}

// A phone that speaks German gets its plan in German, but for what the coach
// wrote; one that speaks what there is no book of, in English.
func TestPlanInTheLanguageOfThePhone(t *testing.T) {
	s := example(t)
	s.handNext(t, "orla")
	english, german := s.planOf(t, "orla", "fr-FR, en;q=0.5"), s.planOf(t, "orla", "de-AT, en;q=0.5")
	if english.Language != "en" || german.Language != "de" || english.Tag == german.Tag {
		t.Errorf("%s, %s", english.Language, german.Language)
	}
	for id, d := range german.Drills {
		if want := words.German.Drill(id).Name; want != "" && d.Name != want {
			t.Errorf("%s is called %q, not %q", id, d.Name, want)
		}
	}
}

// The pages of a student, built from the plan and from the log.
func TestOwnPagesOfTheExample(t *testing.T) {
	s := example(t)
	s.handNext(t, "orla")
	v, _ := s.phoneOf(t, "orla", "/me", "en")
	plan := s.planOf(t, "orla", "en")
	week := v.ownWeekPage(plan)
	if week.Today.Start == "" || len(week.Today.Sessions) != 1 || len(week.Days) != 7 || week.Days[0].Line == "" || week.Days[1].Start == "" {
		t.Errorf("%+v", week)
	}
	if day := v.ownDayView(plan, plan.Days[2]); len(day.Sessions) != 1 || len(day.Sessions[0].Blocks) < 4 {
		t.Errorf("%+v", day)
	}
	progress, err := v.ownProgress()
	if err != nil || len(progress.Since) == 0 || progress.Curve.Narrow == "" || len(progress.Milestone) == 0 {
		t.Errorf("%+v %v", progress, err)
	}
	notes, err := v.ownNotes()
	if err != nil || len(notes.Cues) == 0 || len(notes.Notes) == 0 || len(notes.Private) != 0 {
		t.Errorf("%+v %v", notes, err)
	}
	for _, page := range []func(*visit) error{ownDayPage, ownNotes, ownProgress, sessionPage, phonePlanJSON} {
		v, w := s.phoneOf(t, "orla", "/me", "en")
		v.in.Who.Role = practice.AsGuardian
		v.r.SetPathValue("date", eve.String())
		if err := page(v); !practice.HasCode(err, practice.NotAllowed) {
			t.Errorf("a guardian got %s, %v", w.Body, err)
		}
	}
}

// modules are the scripts of the phone.
func modules(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	names, err := fs.Glob(staticFiles, "static/phone/*.js")
	if err != nil || len(names) < 10 {
		t.Fatal(names, err)
	}
	for _, name := range names {
		raw, err := staticFiles.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		out[name] = string(raw)
	}
	return out
}

// Every sentence the scripts say is in the book, whatever its id is made of;
// every one in the book is said by a script or a page.
func TestEverySentenceOfThePhone(t *testing.T) {
	used := map[string]bool{}
	var made []string
	say := regexp.MustCompile("say\\((?:[^\"`\n]*\\? )?\"([a-z.-]+)\"(?: : \"([a-z.-]+)\")?")
	made1 := regexp.MustCompile("say\\(`([a-z.-]+)\\$")
	for _, text := range modules(t) {
		for _, m := range say.FindAllStringSubmatch(text, -1) {
			used[m[1]], used[m[2]] = true, true
		}
		for _, m := range made1.FindAllStringSubmatch(text, -1) {
			made = append(made, m[1])
		}
	}
	for _, raw := range sources(t) {
		for _, m := range regexp.MustCompile(`"phone\.([a-z.-]+)"`).FindAllStringSubmatch(raw, -1) {
			if strings.HasSuffix(m[1], ".") {
				made = append(made, m[1])
			}
			used[m[1]] = true
		}
	}
	for _, id := range []string{"noscript", "noplan", "noplan.fix"} { // in the shell
		used[id] = true
	}
	book := words.English.Under("phone.")
	for id := range used {
		if _, ok := book[id]; !ok && id != "" && !strings.HasSuffix(id, ".") {
			t.Errorf("no sentence phone.%s", id)
		}
	}
	for id := range book {
		if !used[id] && !slices.ContainsFunc(made, func(start string) bool { return strings.HasPrefix(id, start) }) {
			t.Errorf("nothing says phone.%s", id)
		}
	}
	if len(used) < 80 {
		t.Fatalf("found %d sentences: the test is not looking", len(used))
	}
}

// readable finds words a person would read in a script: two words in a row, or a
// word that begins with a capital, in a string.
var readable = regexp.MustCompile(`[A-Za-z]{2,} [A-Za-z]+|^[A-Z][a-z]+$`)

// No text is in the scripts: all of it comes with the plan. Names of the browser's
// own that look like words are let through by name.
func TestNoTextInTheScripts(t *testing.T) {
	own := []string{"Content-Type", "QuotaExceededError", "POST", "Retry-After", "Accept", "Cookie"}
	literal := regexp.MustCompile("\"(?:[^\"\\\\\n]|\\\\.)*\"|'(?:[^'\\\\\n]|\\\\.)*'|`(?:[^`\\\\]|\\\\.)*`")
	comment := regexp.MustCompile(`(?m)(^|\s)//.*$|/\*[\s\S]*?\*/`)
	n := 0
	look := func(name, text string) (found []string) {
		for _, s := range literal.FindAllString(comment.ReplaceAllString(text, ""), -1) {
			n++
			s = regexp.MustCompile(`\$\{[^}]*\}`).ReplaceAllString(s[1:len(s)-1], "0")
			if readable.MatchString(s) && !slices.Contains(own, s) && !strings.HasPrefix(s, "h1, ") && !strings.HasPrefix(s, ".choose ") {
				found = append(found, name+": "+s)
			}
		}
		return found
	}
	for name, text := range modules(t) {
		for _, s := range look(name, text) {
			t.Error(s)
		}
	}
	if n < 300 {
		t.Fatalf("found %d strings: the test is not looking", n)
	}
	if len(look("bad", "say(\"Take a rest\"); x = 'Done'")) != 2 {
		t.Error("the test does not bite")
	}
}

// The service worker keeps what the session needs, all of it is there, and it is
// another script for every version.
func TestServiceWorkerKeepsTheShell(t *testing.T) {
	h := peopled(t)
	w := h.ask("otto", "GET", "/sw.js", nil)
	head, _, _ := strings.Cut(w.Body.String(), "\n\n")
	_, list, ok := strings.Cut(head, "const SHELL = ")
	list, _, ok2 := strings.Cut(list, ";\n")
	var files []string
	if err := json.Unmarshal([]byte(list), &files); err != nil || !ok || !ok2 || len(files) < 15 || !strings.Contains(head, fmt.Sprintf("VERSION = %q", version)) {
		t.Fatalf("%v\n%s", err, head)
	}
	page := h.ask("otto", "GET", "/me/session", nil).Body.String()
	for _, m := range regexp.MustCompile(`(?:src|href)="([^"]+)"`).FindAllStringSubmatch(page, -1) {
		if !slices.Contains(files, m[1]) && !strings.Contains(m[1], "icon-") {
			t.Errorf("the shell has %s, which the phone does not keep", m[1])
		}
	}
	for _, file := range files {
		if got := h.ask("otto", "GET", file, url.Values{}); got.Code != 200 {
			t.Errorf("%s: %d", file, got.Code)
		}
	}
}

// Where somebody else has signed in on a phone meanwhile, its log does not go
// into theirs.
func TestSyncForAnother(t *testing.T) {
	h := peopled(t)
	body := `{"phone":"k3","student":"mira","now":"2026-06-01T10:00:00+01:00","entries":[
		{"id":"a","n":1,"kind":"try","at":"2026-06-01T09:58:41+01:00","body":{"drill":"open-try","seconds":2.5}}]}`
	if w := h.sends("otto", body); w.Code != 403 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	log, err := h.store.Log(t.Context(), practice.Who{Studio: "millgate-hall"}, "otto")
	if err != nil || len(log.Attempts) != 0 {
		t.Errorf("%+v %v", log.Attempts, err)
	}
	if w := h.sends("mira", body); w.Code != 200 {
		t.Errorf("%d %s", w.Code, w.Body)
	}
}
