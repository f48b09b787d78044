package web

import (
	"crypto/rand"
	"errors"
	"fmt"
	"net/http/httptest"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"aplomb/internal/account"
	"aplomb/internal/desk"
	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/store/sqlite"
	"aplomb/internal/words"
)

// inTheClear seals nothing: sealing is the vault's to test.
type inTheClear struct{}

func (inTheClear) Seal(of string, text []byte) (string, error) { return of + "\n" + string(text), nil }

func (inTheClear) Open(of, sealed string) ([]byte, error) {
	_, text, _ := strings.Cut(sealed, "\n")
	return []byte(text), nil
}

var (
	ines = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}
	wren = practice.Who{Studio: "millgate", ID: "wren", Role: practice.Assistant}
	eve  = practice.DateOf(2026, 3, 29) // the day of the example
)

// example is the studio of doc/example/millgate on the evening of Sunday 29
// March 2026, on a real store.
func example(t testing.TB) *Server {
	t.Helper()
	now := func() time.Time { return time.Date(2026, 3, 29, 20, 0, 0, 0, time.UTC) }
	var n atomic.Int64
	id := func() string { return fmt.Sprintf("new%d", n.Add(1)) }
	s, err := sqlite.Open(t.Context(), filepath.Join(t.TempDir(), "studio.db"), inTheClear{}, now, id)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	err = s.Load(t.Context(), ines, func(l *store.Loader) error {
		faults, err := folder.Scan(os.DirFS("../../doc/example/millgate"), library.Builtin(), l)
		if len(faults) > 0 {
			return faults
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	r := roster.New(s, now, id)
	acc, err := account.New(account.Parts{Store: s, Ties: r, Now: now, NewID: id, Random: rand.Reader,
		Cost: account.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1}, Hashes: 2, URL: "http://localhost:8420"})
	if err != nil {
		t.Fatal(err)
	}
	merge := func(own []practice.Drill) *practice.Library { return library.Merge(library.Builtin(), own) }
	looks := desk.New(s, r, merge, now)
	server, err := New(Config{Account: acc, Roster: r, Desk: looks, Words: words.English, Now: now, URL: "http://localhost:8420",
		Bench: planning.NewBench(s, r, looks, 200*time.Millisecond, now, func() uint64 { return 7 })})
	if err != nil {
		t.Fatal(err)
	}
	return server
}

// as is a visit of somebody to a student's page, with the form that was sent.
func (s *Server) as(t testing.TB, who practice.Who, student string, form url.Values) (*visit, *httptest.ResponseRecorder) {
	t.Helper()
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	w, r := httptest.NewRecorder(), httptest.NewRequest("POST", "/students/"+student, strings.NewReader(form.Encode()))
	r.SetPathValue("id", student)
	r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	return &visit{Server: s, w: w, r: r, in: &account.Signed{Who: who, Studio: practice.Studio{ID: "millgate", Zone: zone}}}, w
}

// sent is the answer to a form of Ines: its status and its page.
func (s *Server) sent(t *testing.T, handle func(*visit) error, student string, form url.Values) (int, string) {
	t.Helper()
	if student != "" {
		form.Set("rev", strconv.FormatInt(s.student(t, student).Rev, 10))
	}
	v, w := s.as(t, ines, student, form)
	if err := handle(v); err != nil {
		return answer(err).status, err.Error()
	}
	return w.Code, w.Body.String()
}

// sentWeek is the answer to a form of a week of Ines.
func (s *Server) sentWeek(t testing.TB, student, week string, form url.Values) (int, string) {
	t.Helper()
	v, w := s.as(t, ines, student, form)
	v.r.SetPathValue("week", week)
	if err := changeWeek(v); err != nil {
		return answer(err).status, err.Error()
	}
	return w.Code, w.Body.String()
}

// fields is a form of names and values in turn.
func fields(pairs ...string) url.Values {
	form := url.Values{}
	for i := 0; i+1 < len(pairs); i += 2 {
		form.Add(pairs[i], pairs[i+1])
	}
	return form
}

func (s *Server) student(t *testing.T, id string) practice.Kept[practice.Student] {
	t.Helper()
	kept, err := s.Roster.Student(t.Context(), ines, id)
	if err != nil {
		t.Fatal(err)
	}
	return kept
}

// newest is the student who was taken in last.
func (s *Server) newest(t *testing.T) practice.Student {
	t.Helper()
	all, err := s.Roster.Students(t.Context(), ines)
	if err != nil {
		t.Fatal(err)
	}
	return all[len(all)-1].Value
}

// The desk of the example: who has pain comes first and cannot be muted, every
// student has a line, the list narrows, and who is archived is on request.
func TestDeskOfTheExample(t *testing.T) {
	s := example(t)
	if _, err := s.Desk.Refresh(t.Context(), "millgate", 100); err != nil {
		t.Fatal(err)
	}
	see := func(query string) deskPage {
		v, _ := s.as(t, ines, "", nil)
		v.r = httptest.NewRequest("GET", "/"+query, nil)
		p, err := v.desk(practice.Decision{}, "")
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	p := see("")
	if len(p.Notices) == 0 || p.Notices[0].Student != "ilse" || p.Notices[0].Mutable || p.Notices[0].Step == "" {
		t.Errorf("first: %+v", p.Notices)
	}
	if len(p.Students) != 6 || !slices.IsSortedFunc(p.Students, func(a, b deskLine) int { return strings.Compare(a.Name, b.Name) }) {
		t.Errorf("%+v", p.Students)
	}
	if p = see("?find=+ORLA"); len(p.Students) != 1 || p.Students[0].ID != "orla" || !strings.Contains(p.Students[0].Line, "last practice") {
		t.Errorf("found %+v", p.Students)
	}
	if status, page := s.sent(t, changeStudent, "edda", fields("name", "Edda", "archived", "yes")); status != 303 {
		t.Fatal(status, page)
	}
	if p = see("?archived=yes"); len(p.Students) != 1 || p.Students[0].Line != "archived on Sunday 29 March 2026" {
		t.Errorf("archived %+v", p.Students)
	}
	if p = see(""); len(p.Students) != 5 {
		t.Errorf("archived, and still there: %+v", p.Students)
	}
}

// A notice of the page goes when it is answered, and a mute without a reason is
// told beside its field and keeps nothing.
func TestNoticesAreAnswered(t *testing.T) {
	s := example(t)
	if _, err := s.Desk.Refresh(t.Context(), "millgate", 100); err != nil {
		t.Fatal(err)
	}
	v, _ := s.as(t, ines, "", nil)
	p, err := v.desk(practice.Decision{}, "")
	if err != nil {
		t.Fatal(err)
	}
	i := slices.IndexFunc(p.Notices, func(n noticed) bool { return n.Mutable })
	if i < 0 {
		t.Fatalf("nothing to mute: %+v", p.Notices)
	}
	n := p.Notices[i]
	form := func(reason string) url.Values {
		return fields("student", n.Student, "kind", n.Kind, "about", n.About, "answer", "muted", "reason", reason)
	}
	if status, page := s.sent(t, decide, "", form(" ")); status != 422 || !strings.Contains(page, `id="reason-`+n.Student+"-"+n.Kind+`-fault"`) {
		t.Errorf("%d\n%s", status, page)
	}
	if status, page := s.sent(t, decide, "", form("at sea until May")); status != 303 {
		t.Errorf("%d\n%s", status, page)
	}
	after, err := v.desk(practice.Decision{}, "")
	if err != nil || len(after.Muted) != 1 || after.Muted[0].Reason != "at sea until May" ||
		slices.ContainsFunc(after.Notices, func(m noticed) bool { return m.Student == n.Student && m.Kind == n.Kind }) {
		t.Errorf("%+v %+v %v", after.Muted, after.Notices, err)
	}
}

// The page of a student who is stopped: the stop, the story apart from the other
// notes, who is around; and nothing for whoever may not see.
func TestStudentOfTheExample(t *testing.T) {
	s := example(t)
	v, _ := s.as(t, ines, "petra", nil)
	p, err := v.studentPage("petra")
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Stops) != 1 || !strings.Contains(p.Stops[0], "upside down") || len(p.Notes.Private) != 1 || len(p.Notes.Plain) != 0 || !p.Notes.Health {
		t.Errorf("%+v %+v", p.Stops, p.Notes)
	}
	if len(p.Sessions) != mostSessions || p.Strings.Narrow == "" || len(p.Around.Consents) != len(practice.Purposes) || p.Around.Consents[0].State == "not agreed to" {
		t.Errorf("%+v %+v", p.Sessions, p.Around)
	}
	if p, err = v.studentPage("ilse"); err != nil || !slices.Contains(p.Around.Lines, "Maren Carrow answers for this student.") {
		t.Errorf("%+v %v", p.Around, err)
	}
	if !slices.ContainsFunc(p.Sessions, func(d doneSession) bool { return strings.Contains(d.Line, "wrist") }) {
		t.Errorf("no site in %+v", p.Sessions)
	}
	if p, err = v.studentPage("edda"); err != nil || len(p.Notes.Plain) != 0 || p.Notes.Lesson == nil || !strings.HasSuffix(p.Notes.Lesson.Day, ", 40 min") || p.Curve.Wide == "" || len(p.Curve.Rows) == 0 {
		t.Errorf("%+v %+v %v", p.Notes.Lesson, p.Notes, err)
	}
	v, _ = s.as(t, wren, "petra", nil)
	if p, err := v.studentPage("petra"); !practice.HasCode(err, practice.NotAllowed) || p.ID != "" {
		t.Errorf("an assistant got %+v, %v", p, err)
	}
}

// What was told of a session, as far as it was; no pain is said once.
func TestSessionLines(t *testing.T) {
	v := &visit{Server: &Server{Config: Config{Words: words.English}}}
	for want, told := range map[string]practice.Session{
		"nothing told":                   {},
		"40 min · effort 5 of 10":        {Minutes: practice.Known(40.0), Effort: practice.Known(5.0)},
		"40 min · no pain":               {Minutes: practice.Known(40.0), Pain: practice.Known(0.0), PainMorning: practice.Known(0.0)},
		"wrist · pain 3 at most":         {PainSite: "wrist", Pain: practice.Known(3.0)},
		"pain 1 before · pain 0 at most": {PainBefore: practice.Known(1.0), Pain: practice.Known(0.0)},
	} {
		if got := v.sessionLine(told); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

// Notes: a fault stands beside its field with what was typed.
func TestNotesOfTheExample(t *testing.T) {
	s := example(t)
	if status, page := s.sent(t, writeNote, "orla", fields("text", "Taller.")); status != 303 {
		t.Errorf("%d\n%s", status, page)
	}
	for at, form := range map[string]url.Values{
		"note-text":   fields("text", " "),
		"note-health": fields("health", "yes", "text", "typed and kept"), // Orla has not agreed
	} {
		status, page := s.sent(t, writeNote, "orla", form)
		if status != 422 || !strings.Contains(page, `id="`+at+`-fault"`) || !strings.Contains(page, strings.TrimSpace(form.Get("text"))) {
			t.Errorf("%s: %d\n%s", at, status, page)
		}
	}
	v, _ := s.as(t, ines, "orla", nil)
	if n, err := v.notesOf("orla"); err != nil || len(n.Plain) != 2 || n.Plain[0].Kind != "note" || n.Plain[0].Text != "Taller." || len(n.Private) != 0 {
		t.Errorf("%+v %v", n, err)
	}
}

// Lessons: one is written down, changed, and struck; a fault keeps what was
// typed, and an older page is told.
func TestLessonsOfTheExample(t *testing.T) {
	s := example(t)
	read := func() lessonsPage {
		t.Helper()
		v, _ := s.as(t, ines, "orla", nil)
		p, err := v.lessonsPage("orla", "", sent{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	lesson := func(pairs ...string) (int, string) {
		t.Helper()
		v, w := s.as(t, ines, "orla", fields(pairs...))
		if err := keepLesson(v); err != nil {
			return answer(err).status, err.Error()
		}
		return w.Code, w.Body.String()
	}
	if status, page := lesson("day", "2026-03-28", "minutes", "50", "text", "Kicks.", "next", "Floats."); status != 303 {
		t.Fatal(status, page)
	}
	v, _ := s.as(t, ines, "orla", nil)
	for day, want := range map[practice.Date]int{eve: 1, eve + 40: 1, eve + 41: 0} {
		if news, err := v.lessonNews("orla", day); err != nil || len(news) != want {
			t.Errorf("on %v: %q, %v", day, news, err)
		}
	}
	first := read().Lessons
	if len(first) != 1 || first[0].Day != "Saturday 28 March 2026, 50 min" || first[0].Next != "Floats." || first[0].By != "Ines Marlow" {
		t.Fatalf("%+v", first)
	}
	for field, form := range map[string][]string{
		"day":     {"day", "2026-03-30", "minutes", "5", "text", "typed"},
		"minutes": {"day", "2026-03-28", "minutes", "an hour", "text", "typed"},
	} {
		if status, page := lesson(form...); status != 422 || !strings.Contains(page, `id="lesson-`+field+`-fault"`) || !strings.Contains(page, ">typed<") {
			t.Errorf("%s: %d\n%s", field, status, page)
		}
	}
	change := []string{"lesson", first[0].ID, "rev", "1", "day", "2026-03-27", "text", "Kicks, and line."}
	if status, page := lesson(change...); status != 303 {
		t.Fatal(status, page)
	}
	if status, page := lesson(change...); status != 409 || !strings.Contains(page, "Somebody changed this lesson") || !strings.Contains(page, `name="rev" value="2"`) {
		t.Errorf("an older page: %d\n%s", status, page)
	}
	if now := read().Lessons; len(now) != 1 || now[0].Day != "Friday 27 March 2026" || now[0].Text != "Kicks, and line." || now[0].Next != "" {
		t.Errorf("%+v", now)
	}
	if status, _ := lesson("do", "strike", "lesson", "n3"); status != 404 { // a note of hers
		t.Errorf("a note was struck as a lesson: %d", status)
	}
	if status, _ := lesson("do", "strike", "lesson", first[0].ID); status != 303 || len(read().Lessons) != 0 {
		t.Errorf("not struck: %d", status)
	}
}

// A week handed over is read as it was, held against the version before, and
// printed; a stop that came since goes before it.
func TestHandedOverWeeks(t *testing.T) {
	s := example(t)
	hand := func(change string, rev string) {
		t.Helper()
		if change != "" {
			if status, page := s.sentWeek(t, "orla", "2026-W14", fields("rev", rev, "do", "minutes", "share", change)); status != 303 {
				t.Fatal(status, page)
			}
			rev = "1"
		}
		if status, page := s.sentWeek(t, "orla", "2026-W14", fields("rev", rev, "do", "hand")); status != 303 {
			t.Fatal(status, page)
		}
	}
	hand("", "0")
	hand("60", "0")
	v, w := s.as(t, ines, "orla", nil)
	read := func(handle func(*visit) error, version string) string {
		t.Helper()
		w.Body.Reset()
		v.r.SetPathValue("week", "2026-W14")
		v.r.URL.RawQuery = version
		if err := handle(v); err != nil {
			t.Fatal(err)
		}
		return w.Body.String()
	}
	second, first := read(handedOver, ""), read(handedOver, "v=1")
	if !strings.Contains(second, "Against version 1") || !strings.Contains(second, "minutes in all; before") || strings.Contains(second, "A newer version") {
		t.Errorf("the second version:\n%s", second)
	}
	if !strings.Contains(first, "A newer version") || strings.Contains(first, "Against version") {
		t.Errorf("the first version:\n%s", first)
	}
	if turned := read(handedOver, "v=1&against=2"); !strings.Contains(turned, "Against version 2") || !strings.Contains(turned, "minutes in all; before") {
		t.Errorf("the first against the second:\n%s", turned)
	}
	paper := read(sheet, "v=1")
	for _, want := range []string{"Orla Tennick", "Under each dose write", "Way out:", "stop on sharp pain", "effort, 0 to 10"} {
		if !strings.Contains(strings.ToLower(paper), strings.ToLower(want)) {
			t.Errorf("on paper there is no %q:\n%s", want, paper)
		}
	}
	if strings.Contains(paper, "Not allowed any more") {
		t.Error("a stop that is not there")
	}
	kept, err := s.Roster.Student(t.Context(), ines, "orla")
	if err != nil {
		t.Fatal(err)
	}
	kept.Value.Stops = append(kept.Value.Stops, practice.Stop{No: []practice.Strain{practice.Inverted}, Since: practice.DateOf(2026, 3, 29)})
	if _, err := s.Roster.Change(t.Context(), ines, kept.Value, kept.Rev); err != nil {
		t.Fatal(err)
	}
	if paper := read(sheet, ""); !strings.Contains(paper, "Not allowed any more") || !strings.Contains(paper, "upside down") {
		t.Errorf("the stop is not on paper:\n%s", paper)
	}
	if list := read(weeks, ""); !strings.Contains(list, "version 2") || strings.Count(list, "2026-W14") != 1 {
		t.Errorf("the list:\n%s", list)
	}
	v.r.URL.RawQuery = "v=3"
	if err := handedOver(v); !errors.Is(err, errNoPage) {
		t.Errorf("a version that is not there: %v", err)
	}
}

// Of two coaches who change one week the second is told what the first changed,
// sees the week as it is now, and has changed nothing; handing over alike.
func TestTheSecondCoachIsToldWhat(t *testing.T) {
	s := example(t)
	v, w := s.as(t, ines, "orla", nil)
	v.r.SetPathValue("week", "2026-W14")
	opened, err := v.reviewPage("")
	if err != nil || len(opened.Drills) < 2 {
		t.Fatal(err)
	}
	w.Body.Reset()
	first, second := opened.Drills[0], opened.Drills[1]
	if status, page := s.sentWeek(t, "orla", "2026-W14", fields("rev", "0", "seen", opened.Seen, "do", "drop", "drill", first.ID)); status != 303 {
		t.Fatal(status, page)
	}
	for _, do := range []string{"drop", "hand"} {
		status, page := s.sentWeek(t, "orla", "2026-W14", fields("rev", "0", "seen", opened.Seen, "do", do, "drill", second.ID))
		if status != 409 || !strings.Contains(page, first.Name+" is dropped.") || !strings.Contains(page, "do again what you still want") {
			t.Errorf("%s: %d\n%s", do, status, page)
		}
	}
	if status, page := s.sentWeek(t, "orla", "2026-W14", fields("rev", "0", "seen", "{", "do", "drop", "drill", second.ID)); status != 409 || !strings.Contains(page, "is dropped") {
		t.Errorf("what the form says of before is broken: %d", status)
	}
	now, err := v.reviewPage("")
	if err != nil || now.Rev != 1 || len(now.Out) != 1 || now.Out[0].Value != first.ID || now.Handed != "" {
		t.Errorf("%+v, %v", now.Out, err)
	}
}

// A drill of the studio's own starts from another, is planned like any, is
// changed, and retired without losing what was done of it; faults stand beside
// their fields with what was typed.
func TestOwnDrills(t *testing.T) {
	s := example(t)
	from, _ := library.Builtin().Drill("knee-rocks")
	form := func(changes ...string) url.Values {
		f := formOfDrill(&from)
		f.Set("start", from.ID)
		for i := 0; i < len(changes); i += 2 {
			f.Set(changes[i], changes[i+1])
		}
		return f
	}
	for at, f := range map[string]url.Values{
		"name":        form("name", ""),
		"set_minutes": form("set_minutes", "half"),
		"max_sets":    form("min_sets", "5", "max_sets", "2"),
		"support":     form("support", "open"),
		"error_1":     form("change_1", ""),
	} {
		if status, page := s.sent(t, writeOwnDrill, "", f); status != 422 || !strings.Contains(page, `id="`+at+`-fault"`) || !strings.Contains(page, "Rock forward until") {
			t.Errorf("%s: %d\n%s", at, status, page)
		}
	}
	if status, page := s.sent(t, writeOwnDrill, "", form("name", "Rocks on Knees & Fists!", "hard", "1", "steps", "Rock.\n\n Rest. ", "cue_look", "Eyes still.")); status != 303 {
		t.Fatal(status, page)
	}
	const id = "rocks-on-knees-fists"
	lib, err := s.Desk.Library(t.Context(), ines)
	if err != nil {
		t.Fatal(err)
	}
	d, ok := lib.Drill(id)
	if !ok || d.Name != "Rocks on Knees & Fists!" || !slices.Equal(d.Steps, []string{"Rock.", "Rest."}) || len(d.Cues) != 3 || d.Difficulty != from.Difficulty+harderBy ||
		d.DifficultySD < firstSD || d.Source == from.Source {
		t.Errorf("%+v", d)
	}
	change := func(rev string, changes ...string) (int, string) {
		f := formOfDrill(&d)
		f.Set("rev", rev)
		for i := 0; i < len(changes); i += 2 {
			f.Set(changes[i], changes[i+1])
		}
		v, w := s.as(t, ines, id, f)
		if err := writeOwnDrill(v); err != nil {
			return answer(err).status, err.Error()
		}
		return w.Code, w.Body.String()
	}
	if status, page := change("7", "purpose", "Typed."); status != 409 || !strings.Contains(page, "Typed.") {
		t.Errorf("an older page: %d\n%s", status, page)
	}
	if status, page := change("1", "retired", "yes"); status != 303 {
		t.Fatal(status, page)
	}
	r, err := s.Bench.Review(t.Context(), ines, "orla", practice.DateOf(2026, 3, 30).Week(), 0)
	if err != nil || !slices.ContainsFunc(r.Draft.Refused, func(no planning.Refusal) bool { return no.Drill == id && no.Code == planning.Retired }) {
		t.Errorf("a retired drill is offered: %v", err)
	}
	v, _ := s.as(t, wren, "", form())
	if err := writeOwnDrill(v); !practice.HasCode(err, practice.NotAllowed) {
		t.Errorf("an assistant: %v", err)
	}
}

// The table is found by a word, and a drill says what it has done here once
// something was learned.
func TestLookForAndLore(t *testing.T) {
	s := example(t)
	v, _ := s.as(t, ines, "knee-rocks", nil)
	lib, err := s.Desk.Library(t.Context(), ines)
	if err != nil {
		t.Fatal(err)
	}
	all, some := v.lookForPage(lib, ""), v.lookForPage(lib, "low cartwheel")
	if len(all.Ways) < 4 || len(some.Ways) == 0 || len(some.Ways) >= len(all.Ways) || len(v.lookForPage(lib, "qqq").Ways) != 0 {
		t.Errorf("%d ways, %d with the word", len(all.Ways), len(some.Ways))
	}
	page := func() drillPage {
		t.Helper()
		d, _ := lib.Drill("open-try")
		p := v.drillPage(lib, d)
		if err := v.lore(&p, lib, d.ID); err != nil {
			t.Fatal(err)
		}
		return p
	}
	if p := page(); p.LoreAsOf != "" || !strings.Contains(p.Lore[0], "Nothing has been learned") {
		t.Errorf("%+v", p.Lore)
	}
	if _, err := s.Desk.Refresh(t.Context(), "millgate", 100); err != nil {
		t.Fatal(err)
	}
	if did, err := s.Desk.Learn(t.Context(), "millgate"); !did || err != nil {
		t.Fatal(did, err)
	}
	if p := page(); p.LoreAsOf == "" || len(p.Lore) == 0 || strings.Contains(p.Lore[0], "Nothing has been learned") {
		t.Errorf("%+v %q", p.Lore, p.LoreAsOf)
	}
}

// Floor tests: what a week asks for comes first, a day that was may be said, and
// what a stop forbids is marked and not kept.
func TestFloorTestsOfTheExample(t *testing.T) {
	s := example(t)
	page := func(student string) testsPage {
		t.Helper()
		v, _ := s.as(t, ines, student, nil)
		p, err := v.testsPage(student, sent{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	find := func(p testsPage, id string) testField {
		t.Helper()
		for _, day := range p.Days {
			for _, f := range day.Tests {
				if f.ID == id {
					return f
				}
			}
		}
		t.Fatal("no test", id)
		return testField{}
	}
	p := page("petra") // a stop: not upside down
	kicks, hollow := find(p, "entry-kicks"), find(p, "tension-hollow")
	if len(p.Stops) != 1 || !strings.Contains(kicks.Not, "upside down") || hollow.Not != "" || kicks.Takes != "of 10" || hollow.Takes != "seconds, 0 to 180" {
		t.Errorf("%+v %+v %+v", p.Stops, kicks, hollow)
	}
	for _, due := range p.Due {
		if find(p, due.ID).Not != "" {
			t.Errorf("a stop forbids what is asked for: %+v", due)
		}
	}
	for at, form := range map[string]url.Values{
		"entry-kicks":    fields("day", "2026-03-29", "entry-kicks", "6", "tension-hollow", "12,5"),
		"tension-hollow": fields("day", "2026-03-29", "tension-hollow", "long"),
		"day":            fields("day", "2026-03-30", "tension-hollow", "12,5"),
	} {
		if status, page := s.sent(t, keepTests, "petra", form); status != 422 || !strings.Contains(page, `id="`+at+`-fault"`) || !strings.Contains(page, `value="`+form.Get("tension-hollow")+`"`) {
			t.Errorf("%s: %d\n%s", at, status, page)
		}
	}
	if was := find(page("petra"), "tension-hollow").Before; !slices.Equal(was, hollow.Before) {
		t.Fatalf("something was kept of a faulty form: %v", was)
	}
	if status, page := s.sent(t, keepTests, "petra", fields("day", "2026-03-28", "tension-hollow", "12,5")); status != 303 {
		t.Fatal(status, page)
	}
	if now := find(page("petra"), "tension-hollow").Before; len(now) == 0 || now[0] != "12.5 on 28 Mar" {
		t.Errorf("%v", now)
	}
	if status, page := s.sent(t, noteTry, "petra", fields("day", "2026-03-28", "seconds", "5", "end", "lowered", "witness", "watched")); status != 422 || !strings.Contains(page, "Not kept. No going upside down") {
		t.Errorf("a try under a stop: %d\n%s", status, page)
	}
}

// What a week asks for is due until it was taken in that week.
func TestDueTests(t *testing.T) {
	v := &visit{Server: &Server{Config: Config{Words: words.English}}}
	monday := practice.DateOf(2026, 3, 23)
	asked := []planning.FloorTest{{ID: "tension-hollow", Day: 2, Between: [2]practice.Component{"line", "tension"}}, {ID: "gone", Day: 2}}
	due := func(results ...practice.ProbeResult) []dueTest {
		return v.dueIn(monday.Week(), asked, library.Builtin(), results)
	}
	before := practice.ProbeResult{Test: "tension-hollow", At: practice.Zone{}.Noon(monday - 1)}
	other := practice.ProbeResult{Test: "tension-plank", At: practice.Zone{}.Noon(monday)}
	if got := due(before, other); len(got) != 1 || got[0].Name != "Hollow hold" || !strings.Contains(got[0].Line, "Wednesday 25 March") || !strings.Contains(got[0].Line, "between line and tension") {
		t.Errorf("%+v", got)
	}
	taken := before
	taken.At = practice.Zone{}.Noon(monday)
	if got := due(before, taken); len(got) != 0 {
		t.Errorf("taken, and still due: %+v", got)
	}
}

// The milestone test: a try that was seen is evidence at once, a try of the log
// can be told to be filmed, and what is wrong stands beside its field.
func TestMilestoneIsTested(t *testing.T) {
	s := example(t)
	page := func() milestonePage {
		t.Helper()
		v, _ := s.as(t, ines, "orla", nil)
		p, err := v.milestonePage("orla", sent{})
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	before := page()
	if before.Seconds == 0 || len(before.Protocol) < 5 || len(before.Count.Lines) == 0 || before.Wide == "" {
		t.Fatalf("%+v", before)
	}
	for at, form := range map[string]url.Values{
		"seconds": fields("day", "2026-03-29", "seconds", "long", "end", "lowered", "witness", "watched", "note", "typed"),
		"day":     fields("day", "2026-13-29", "seconds", "5", "end", "lowered", "witness", "watched", "note", "typed"),
		"witness": fields("day", "2026-03-29", "seconds", "5", "end", "lowered", "witness", "", "note", "typed"),
	} {
		if status, page := s.sent(t, noteTry, "orla", form); status != 422 || !strings.Contains(page, `id="try-`+at+`-fault"`) || !strings.Contains(page, `value="typed"`) {
			t.Errorf("%s: %d\n%s", at, status, page)
		}
	}
	if status, page := s.sent(t, noteTry, "orla", fields("day", "2026-03-28", "seconds", "5", "end", "lowered", "witness", "watched")); status != 422 || !strings.Contains(page, "a third is not cold any more") {
		t.Errorf("a third cold try of a day: %d\n%s", status, page)
	}
	if status, page := s.sent(t, noteTry, "orla", fields("day", "2026-04-29", "seconds", "5", "end", "lowered", "witness", "watched")); status != 422 || !strings.Contains(page, "a day that has been") {
		t.Errorf("a day to come: %d\n%s", status, page)
	}
	if len(page().Count.Lines) != len(before.Count.Lines) {
		t.Fatal("something was kept of a faulty form")
	}
	if status, page := s.sent(t, noteTry, "orla", fields("day", "2026-03-27", "seconds", "61,5", "end", "over", "witness", "filmed", "place", "park", "note", "calm")); status != 303 {
		t.Fatal(status, page)
	}
	after := page()
	i := slices.IndexFunc(after.Count.Lines, func(l coldTryLine) bool { return l.Note == "calm" })
	if len(after.Count.Lines) != len(before.Count.Lines)+1 || i < 0 || after.Count.Lines[i].Held != "61.5 s" || after.Count.Lines[i].Result != "passed" || after.Count.Lines[i].Witness != "filmed" {
		t.Errorf("%+v", after.Count.Lines)
	}
	j := slices.IndexFunc(after.Count.Lines, func(l coldTryLine) bool { return l.Witness == "" })
	if status, page := s.sent(t, noteTry, "orla", fields("attempt", after.Count.Lines[j].ID, "as", "watched")); status != 303 {
		t.Fatal(status, page)
	}
	if status, _ := s.sent(t, noteTry, "orla", fields("attempt", after.Count.Lines[j].ID, "as", "dreamt")); status != 400 {
		t.Errorf("a word that is none: %d", status)
	}
	if told := page().Count.Lines[j]; told.Witness != "watched" || told.Held != after.Count.Lines[j].Held {
		t.Errorf("%+v", told)
	}
}
