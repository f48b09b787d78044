package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"aplomb/internal/account"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

func sumOf(t *testing.T, file string) string {
	t.Helper()
	raw, err := staticFiles.ReadFile("static/" + file)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(raw)
	return hex.EncodeToString(sum[:])
}

// samples are a page of every kind with everything on it, and one with little.
func samples() map[string][]any {
	at := practice.Zone{}.At(practice.DateOf(2026, 6, 1).Time())
	day := at.Date()
	f := frame{Title: "Title", Studio: "Millgate Hall", Name: "Ines", In: true, Tabs: []tab{{"/", "Students", true}}, book: words.English}
	bare := frame{Title: "Title", book: words.English}
	fields := []field{{Name: "name", Label: "Name", Kind: "text", Hint: "a hint", Fault: "a fault", Value: "x"},
		{Name: "password", Label: "P", Kind: "password", Auto: "new-password"},
		{Name: "role", Label: "Role", Kind: "select", Options: []option{{"coach", "coach", true}, {"owner", "owner", false}}}}
	controls := []control{{field: fields[0], ID: "a"}, {field{Name: "k", Label: "K", Kind: "ticks", Fault: "no", Options: []option{{"w", "W", true}}}, "k", true},
		{field{Name: "c", Label: "C", Kind: "choice", Fault: "no", Options: []option{{"yes", "yes", false}}}, "c", false}, {field{Name: "s", Kind: "select", Hint: "h"}, "s", true},
		{field{Name: "t", Kind: "text-area", Fault: "no"}, "t", false}, {field{Name: "n", Kind: "number"}, "n", false}}
	link := &newLink{"http://localhost/in/x/y", "Mira", "Hand it over"}
	return map[string][]any{
		"signin":    {signInPage{frame: bare, Empty: true}, signInPage{frame: f, Fields: fields, SignInTo: "millgate-hall", Next: "/me", Wrong: "no", As: "Ines"}},
		"forgotten": {forgottenPage{bare}},
		"begin":     {beginPage{bare, fields}},
		"open":      {openPage{frame: bare, Hello: "Hello", Text: "text"}, openPage{frame: f, Hello: "Hello", Text: "text", Fields: fields, As: "Ines"}},
		"account": {ownAccount{frame: f}, ownAccount{frame: f, Done: "done", NameFields: fields, PasswordFields: fields, Fresh: true,
			Passkeys: []practice.Passkey{{ID: "k", Name: "phone", Since: at, Used: &at}, {ID: "l", Name: "key", Since: at}},
			Browsers: []browser{{"a", "Firefox", day, day, true}, {"b", "Safari", day, day, false}}}},
		"people": {peopleList{frame: f, Invite: fields}, peopleList{frame: f, Told: "t", Link: link, Invite: fields,
			People: []colleague{{"a", "Ines", "i@m.example", "owner", "by password", nil, nil, true}, {"b", "Tom", "", "coach", "no", nil, &day, false}, {"c", "Una", "", "coach", "no", fields[2].Options, nil, false}}}},
		"leave": {leavePage{f, "Tom"}},
		"links": {linksOf{frame: f}, linksOf{frame: f, Link: link, Ways: []wayIn{{"student", "mira", "Mira", "student", "no link", false}, {"guardian", "maren", "Maren", "guardian", "made", true}}}},
		"home":  {homePage{frame: f}, homePage{frame: f, Students: []listed{{"Mira", "arms overhead"}, {"Otto", ""}}}},
		"desk": {deskPage{frame: f, Today: "Monday"}, deskPage{frame: f, Today: "Monday", Held: 2, Waiting: 1, Weeks: "3 wait", Find: "m", Found: true,
			Notices: []noticed{{"mira", "Mira", "quiet", "since x", telling.NoticeText{Title: "t", Evidence: "e", Step: "s"}, true, []option{{Value: "3", Label: "in 3 days"}}, "typed", "say why"}},
			Muted:   []mutedNotice{{"otto", "Otto", "slower", "slower", "at sea"}}, Students: []deskLine{{"mira", "Mira", "5 s"}}}},
		"drills": {drillsPage{frame: f, Find: "x"}, drillsPage{frame: f, Components: []drillsOf{{"line", "what", []drillLine{{"a", "A", "purpose", "tag"}}}}}},
		"drill": {drillPage{frame: f, ID: "a"}, drillPage{frame: f, ID: "a", Drawn: true, Alt: "alt", About: "for line", Cues: []string{"c"}, Facts: []string{"f"},
			Drill:  practice.Drill{Purpose: "p", Setup: "s", Steps: []string{"1"}, Errors: []practice.Slip{{Error: "e", Change: "c"}}},
			Easier: []drillLine{{ID: "b", Name: "B"}}, Harder: []drillLine{{ID: "c", Name: "C"}}, Lore: []string{"l"}, LoreAsOf: "m", Own: true, Retired: true, InTable: true, MayWrite: true}},
		"own_drill": {ownDrillPage{frame: f, From: "a", FromName: "A"}, ownDrillPage{frame: f, ID: "a", FromName: "A", Rev: 2, Told: "t", Needs: []string{"n"}, Texts: controls, Sorts: controls, Dose: controls}},
		"lookfor":   {lookForPage{frame: f, Find: "x"}, lookForPage{frame: f, Ways: []troublesOf{{"over", "over", []troubleLine{{"look", "check", "for", "cue", []drillLine{{ID: "b", Name: "B"}, {ID: "c", Name: "C"}}}}}}}},
		"intake": {intakePage{frame: f, Who: controls}, intakePage{frame: f, ID: "mira", Rev: 2, Who: controls, Road: controls,
			Days: []dayFields{{"Monday", controls}}, Screen: controls, Told: "told"}},
		"care": {carePage{frame: f, ID: "mira", New: map[string]careForm{"stop": {}, "limit": {}, "away": {}}},
			carePage{frame: f, ID: "mira", Rev: 2, Told: "told", Screened: true, Screen: controls, Asked: true,
				Stops:  []careLine{{"No weight", "Cleared", nil}, {"No weight", "", &careForm{Do: "clear", At: "1", Button: "b", Label: "l", Fields: controls}}},
				Limits: []careLine{{"No weight", "", nil}}, Away: []careLine{{"a to b", "away", nil}},
				New: map[string]careForm{"stop": {Do: "stop", Button: "b", Fields: controls}, "limit": {}, "away": {}}}},
		"tests": {testsPage{frame: f, ID: "mira"}, testsPage{frame: f, ID: "mira", Done: true, Wrong: true, Stops: []string{"no"}, Due: []dueTest{{"t", "T", "on Monday"}}, Taken: controls[0],
			Days: []testsOfDay{{"Day 1", []testField{{"t", "T", "line", "setup", "counts", "norm", "s", "not now", []string{"4 (Monday)", "3 (Sunday)"}, "x", "no"}, {ID: "u", Name: "U"}}}}}},
		"review": {reviewPage{frame: f, ID: "mira", Empty: true}, reviewPage{frame: f, ID: "mira", Week: "2026-W24", Monday: "Monday", Left: 2, Next: "/n", Told: "t",
			Since: []string{"s"}, Keys: []option{{Value: "k", Label: "keep"}}, Standing: []string{"s"}, Notes: []string{"n"}, Handed: "h", Hung: "<svg></svg>", Wished: true, Share: 100,
			Days:   []plannedDay{{"Monday", []plannedBlock{{"prep", "prep", nil, "wrists"}, {"practice", "practice", []plannedItem{{"Toe pulls", "3 sets", "long"}}, ""}}}},
			Drills: []chosen{{"a", "A", "why", "cue", true}, {"b", "B", "why", "", false}}, LeftOut: []leftOut{{"c", "C", "C costs 4%"}},
			Out: []option{{Value: "d", Label: "D"}}, From: []option{{Value: "mon", Label: "Monday"}}, To: []option{{Value: "tue", Label: "Tuesday"}}}},
		"groups": {groupsPage{frame: f}, groupsPage{frame: f, Groups: []groupLine{{"/g", "evening", "2 students"}}}},
		"group": {groupPage{frame: f}, groupPage{frame: f, Told: "t", Handed: true, Monday: "Monday", Shared: []chosen{{ID: "a", Name: "A", Kept: true}, {ID: "b", Name: "B"}}, Out: []option{{Value: "c", Label: "C"}},
			Members: []groupMember{{"Mira", "/m", "line", true, []string{"l"}, []string{"o"}}, {Name: "Otto"}}}},
		"milestone": {milestonePage{frame: f, ID: "mira"}, milestonePage{frame: f, ID: "mira", Told: "t", Seconds: 15, Stops: []string{"s"}, Says: []string{"s"}, Protocol: []string{"p"},
			Wide: "<svg></svg>", Count: coldTries{f, []coldTryLine{{"a", "Monday", "5 s", "passed", "park", "filmed", "n"}, {"b", "Sunday", "1 s", "not passed", "", "", ""}}}, Older: coldTries{f, []coldTryLine{{ID: "c", Day: "Friday"}}}, Fields: controls}},
		"lessons": {lessonsPage{frame: f, ID: "mira", Fields: controls}, lessonsPage{frame: f, ID: "mira", Told: "t", Change: "a", Rev: 2, Fields: controls,
			Lessons: []lessonLine{{"a", "Monday, 50 min", "Tom", "line", "floats"}, {ID: "b", Day: "Sunday", By: "Tom"}}}},
		"records": {recordsPage{frame: f}, recordsPage{frame: f, Runs: true, Find: "x"}, recordsPage{frame: f, Runs: true, Told: "t", Link: link, Here: true, Find: "a",
			Found: []foundStudent{{"mira", "Mira", "archived"}, {"otto", "Otto", ""}}, Backups: []keptBackup{{"a.backup", "Monday, 2 MB"}}, Faults: []string{"f"}, More: 3,
			Fault: "no", Broken: "b", Restore: []string{"aplomb restore"}, Erased: []erasedLine{{"Monday", "k"}}}},
		"trail": {trailPage{frame: f}, trailPage{frame: f, ID: "mira", Older: "?before=a", Export: "/e", Erase: "/f", Archive: "/a", Archived: true,
			Lines: []trailLine{{When: "Monday", What: "w", Student: "Mira", Of: "mira", Fields: []trailField{{"goal", "a", "b"}}}, {What: "x"}}}},
		"forget": {forgetPage{frame: f, ID: "mira", Student: "Mira", Field: controls[0]}},
		"covers": {coversPage{frame: f, Fields: controls}, coversPage{frame: f, Told: "t", Covers: []coverLine{{"a", "line", true}, {"b", "line", false}}}},
		"weeks":  {weeksPage{frame: f, ID: "mira"}, weeksPage{frame: f, ID: "mira", Weeks: []handedWeek{{"/p", "Monday", "3 sessions"}}}},
		"week": {weekPage{frame: f, ID: "mira"}, weekPage{frame: f, ID: "mira", Made: "m", Newer: true, Edit: "/e", Print: "/p", All: "/a", Stops: []string{"no"}, Hung: "<svg></svg>",
			Days: []plannedDay{{"Monday", []plannedBlock{{"prep", "prep", nil, "wrists"}, {"practice", "practice", []plannedItem{{"Toe pulls", "3 sets", "long"}}, ""}}}},
			Off:  []plannedItem{{"Wrist rounds", "2 min", "slow"}}, Versions: []weekVersion{{"/1", "Version 1", "/2-1", false}, {Path: "/2", Name: "Version 2", Here: true}}, Against: "a", Differs: []string{"d"}}},
		"sheet": {sheetPage{frame: f}, sheetPage{frame: f, Student: "Mira", Stops: []string{"no"}, Hung: "<svg></svg>", Off: []plannedItem{{"Wrist rounds", "2 min", ""}},
			Days: []sheetDay{{"Monday", "40 min"}}, Rows: []sheetRow{{"Toe pulls", "cue", "", "set-up", "out", []string{"3 sets"}}, {Name: "Gone", Cells: []string{""}}}}},
		"student": {studentPage{frame: f, ID: "mira"}, studentPage{frame: f, ID: "mira", About: "Mon", Goal: "15 s", Background: "climbs", Stops: []string{"no"},
			Curve: shown{Wide: "<svg></svg>", Says: []string{"s"}, Table: "t", Head: []string{"a"}, Rows: [][]string{{"1"}}}, Milestone: []string{"m"},
			Sessions: []doneSession{{"Monday", "40 min", "note"}}, Around: around{[]string{"Tom coaches."}, []consentLine{{"Clips", "no"}}},
			Notes: notesOf{Lesson: &lessonLine{"a", "Monday", "Ines", "line", "floats"}, Plain: []written{{"Monday", "Ines", "note", "text"}}, Private: []written{{"Monday", "Ines", "note", "text"}}, Health: true, NoKey: true, New: controls},
			Tries: shown{Table: "t", Rows: [][]string{{"1"}}}}},
		"me": {ownPages{frame: f}, ownPages{frame: f, Students: []own{{"mira", "Mira", "Tom", true, []agreed{{"clips", "Clips", "text", "no", false, true}}},
			{"otto", "Otto", "", false, []agreed{{"clips", "Clips", "text", "yes", true, true}, {"messages", "M", "t", "no", false, false}}}, {ID: "x", Name: "X", Coach: "Tom"}}}},
		"me_week": {ownWeekPage{frame: f}, ownWeekPage{frame: f, Coach: "Tom", Stops: []string{"no"}, Today: ownDay{Path: "/p", Start: "/s", Name: "Monday", Sessions: []ownSession{{"40 min", "Toe pulls"}}},
			Days: []ownDay{{Path: "/p", Name: "Tuesday", Line: "rest", Off: []phoneItem{{Name: "Wrist rounds"}}}}}},
		"me_day": {ownDayView{frame: f}, ownDayView{frame: f, Day: ownDay{Start: "/s", Line: "l"}, Stops: []string{"no"}, Off: []ownItem{{Drill: phoneDrill{Stopped: "no"}}},
			Sessions: []ownSessionView{{"40 min", []ownBlock{{"prep", "warm", []ownItem{{phoneItem{Name: "Toe pulls", Cue: "long"}, phoneDrill{Figure: "/f", Alt: "a", Setup: "s", Steps: []string{"one"}}}}}}, []phoneTest{{Name: "t"}}}}}},
		"me_progress": {ownProgressPage{frame: f}, ownProgressPage{frame: f, Since: []string{"s"}, Milestone: []string{"m"}, Curve: shown{Wide: "<svg></svg>", Says: []string{"s"}}, Tries: shown{Table: "t", Head: []string{"a"}, Rows: [][]string{{"1"}}}}},
		"me_notes":    {ownNotesPage{frame: f}, ownNotesPage{frame: f, Cues: []ownCue{{"Toe pulls", "long"}}, Notes: []written{{"Monday", "Ines", "note", "text"}}, Private: []written{{"Monday", "Ines", "note", "text"}}}},
		"session":     {phoneShell{bare}},
		"error":       {errorPage{frame: bare, Sentence: "No", Remedy: "do", Again: "/sign-in"}, errorPage{frame: f, Sentence: "No", Remedy: "do"}},
	}
}

// TestEveryTemplate fills every template from its struct; a field or a
// sentence that is not there fails.
func TestEveryTemplate(t *testing.T) {
	all := samples()
	for name, tmpl := range templates {
		if len(all[name]) == 0 {
			t.Errorf("%s has no sample", name)
		}
		for _, page := range all[name] {
			var b bytes.Buffer
			if err := tmpl.ExecuteTemplate(&b, "base", page); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			if n := strings.Count(b.String(), "<h1>"); n < 1 || strings.Contains(b.String(), "ZgotmplZ") {
				t.Errorf("%s: %d headings\n%s", name, n, b.String())
			}
		}
	}
}

// TestEverySentenceOfThePages: none is missing, none is left over. Those whose
// ids are put together are named by how they begin.
func TestEverySentenceOfThePages(t *testing.T) {
	made := regexp.MustCompile(`^(error\.[a-z]+(\.fix)?|role\..*|consent\..*|fault\..*|tab\..*|open\.(owner|invitation|student|guardian)|links\.(student|guardian))$`)
	used := map[string]bool{}
	say := regexp.MustCompile(`(?:\.Say|\.say\(|\.frame\() ?"([a-z.-]+)"|"(account\.done\.[a-z]+)"`)
	err := fs.WalkDir(pageFiles, "page", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := pageFiles.ReadFile(name)
		for _, m := range say.FindAllStringSubmatch(string(raw), -1) {
			used[m[1]] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, raw := range sources(t) {
		for _, m := range say.FindAllStringSubmatch(raw, -1) {
			used[m[1]+m[2]] = true
		}
	}
	for id := range used {
		if !words.English.Has("web."+id) && !strings.HasSuffix(id, ".") {
			t.Errorf("no sentence web.%s", id)
		}
	}
	if len(used) < 100 {
		t.Fatalf("found %d sentences: the test is not looking", len(used))
	}
	for id := range sentences(t) {
		if id = strings.TrimPrefix(id, "web."); !used[id] && !made.MatchString(id) {
			t.Errorf("no page says web.%s", id)
		}
	}
	for _, err := range everyError {
		a := answer(err)
		for _, id := range []string{"error." + a.id, "error." + a.id + ".fix"} {
			if !words.English.Has("web." + id) {
				t.Errorf("no sentence web.%s", id)
			}
		}
	}
	for _, p := range practice.Purposes {
		for _, id := range []string{"consent." + string(p), "consent." + string(p) + ".text"} {
			if !words.English.Has("web." + id) {
				t.Errorf("no sentence web.%s", id)
			}
		}
	}
}

var everyError = []error{errNoPage, account.ErrLink, practice.Refused(practice.RunStudio), account.ErrStale, account.ErrLastOwner,
	practice.Fault{Code: practice.ChangedSince}, errOtherHost, errOtherSite, errNotThisWay, errTooOften, &http.MaxBytesError{}, errBadForm,
	account.ErrBusy, practice.Fault{Code: practice.StoreFull}, errors.New("anything else")}

// sources is the text of this room's program files.
func sources(t *testing.T) (out []string) {
	t.Helper()
	names, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		raw, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(raw))
	}
	return out
}

// sentences are those of the pages as they are written down.
func sentences(t *testing.T) (all map[string]string) {
	t.Helper()
	raw, err := os.ReadFile("../words/en/web.json")
	if err == nil {
		err = json.Unmarshal(raw, &all)
	}
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestBrowsersAsAPersonKnowsThem(t *testing.T) {
	v := &visit{Server: &Server{Config: Config{Words: words.English}}}
	for sent, want := range map[string]string{
		"Mozilla/5.0 (X11; Linux x86_64) AppleWebKit/537.36 (KHTML, like Gecko) Chrome/141.0.0.0 Safari/537.36":                     "Chrome on Linux",
		"Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15 (KHTML, like Gecko) Version/18.0 Safari/604.1": "Safari on iPhone",
		"Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:140.0) Gecko/20100101 Firefox/140.0":                                          "Firefox on Windows",
		"curl/8": "curl/8", "": "A browser that says nothing of itself",
	} {
		if got := v.agent(sent); got != want {
			t.Errorf("%q: %q", sent, got)
		}
	}
}
