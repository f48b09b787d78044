package storetest

import (
	"bytes"
	"errors"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// An error, of the one who loads or of the loader, leaves nothing.
func load(t *testing.T, fresh Fresh) {
	s := fresh(t)(TheKey)
	e := Everything{Studio: practice.Studio{ID: "millgate", Name: "Millgate Hall"}, Students: []practice.Student{mira()}, Records: []Rest{{Log: day("mira")}}}
	enough := errors.New("enough")
	err := s.Load(ctx, millgate, func(l *store.Loader) error {
		ok(t, e.Into(l))
		return enough
	})
	if !errors.Is(err, enough) {
		t.Errorf("got %v", err)
	}
	stranger := e
	stranger.Records = []Rest{{Log: day("nobody")}}
	refused(t, s.Load(ctx, millgate, stranger.Into), practice.UnknownID)
	drafted := e
	drafted.Records = []Rest{{Log: practice.Log{Weeks: []practice.Week{{Student: "mira", Version: 1, Status: practice.Draft}}}}}
	refused(t, s.Load(ctx, millgate, drafted.Into), practice.Contradiction)
	twice := e
	twice.Records = []Rest{{Log: day("mira")}, {Log: day("mira")}}
	refused(t, s.Load(ctx, millgate, twice.Into), practice.ExistsAlready)
	refused(t, s.Load(ctx, millgate, func(l *store.Loader) error {
		l.Studio(e.Studio)
		l.Note(practice.Note{ID: "x", Student: "mira", Text: "a\xff"}) // its error is not looked at
		if err := l.Person(practice.Person{ID: "p"}); err == nil {
			t.Error("a loader went on after an error")
		}
		return nil
	}), practice.NotUTF8)
	if n := len(got[[]practice.Studio](t)(s.Studios(ctx))); n != 0 {
		t.Fatalf("%d studios after failed loads", n)
	}
	ok(t, s.Load(ctx, millgate, e.Into))
	refused(t, s.Load(ctx, millgate, e.Into), practice.ExistsAlready)
	ok(t, s.AddLog(ctx, millgate, "mira", practice.Log{Attempts: []practice.Attempt{{ID: "new", Student: "mira", At: at(1), Set: 1, Rep: 1}}}))
	attempts := got[practice.Log](t)(s.Log(ctx, millgate, "mira")).Attempts
	if len(attempts) != 3 || attempts[1].ID != "new" { // the same set and rep: as it arrived
		t.Errorf("attempts after the load: %v", attempts)
	}
}

// Whatever a studio holds comes back as it was.
func roundTrip(t *testing.T, fresh Fresh) {
	s := fresh(t)(TheKey)
	rapid.Check(t, func(t *rapid.T) {
		who := practice.Who{Studio: NewID(), ID: "ines", Role: practice.AtTheDesk}
		e := drawEverything(t, who.Studio)
		if err := s.Load(ctx, who, e.Into); err != nil {
			t.Fatal(err)
		}
		back, err := ReadAll(s, who)
		if err != nil {
			t.Fatal(err)
		}
		last := back.Trail[len(back.Trail)-1]
		if last.Act != practice.Imported || last.Noun != practice.StudioNoun || last.By != "ines" {
			t.Errorf("the load wrote %+v", last)
		}
		back.Trail = back.Trail[:len(back.Trail)-1]
		if d := diff(back, e); d != "" {
			t.Error(d)
		}
	})
}

// furnished is a hall with something in every table.
func furnished(t *testing.T, fresh Fresh) *store.Store {
	s, _ := hall(t, fresh)
	ok(t, s.AddLog(ctx, millgate, "mira", day("mira")))
	merge(t, s, practice.Batch{Receipts: []practice.Receipt{received("a1", practice.TryEntry, 1)}})
	must(t)(s.PutPerson(ctx, millgate, practice.Person{ID: "ines", Name: "Ines Marlow", Role: practice.Owner}, 0))
	must(t)(s.PutGuardian(ctx, millgate, practice.Guardian{ID: "g", Name: "G", Students: []string{"mira"}}, 0))
	must(t)(s.PutCover(ctx, millgate, practice.Cover{ID: "c", For: "ines", By: "tom"}, 0))
	must(t)(s.PutDrill(ctx, millgate, practice.Drill{ID: "frog", Name: "Frog"}, 0))
	must(t)(s.PutWish(ctx, millgate, practice.Wish{Group: "kites"}, 0))
	must(t)(s.PutWeek(ctx, millgate, practice.Week{Student: "mira", ISOWeek: practice.ISOWeek{Year: 2026, Week: 23}, Version: 1}, 0))
	must(t)(s.PutNote(ctx, millgate, practice.Note{ID: "n", Student: "mira", Kind: practice.StopNote, Text: "the story"}, 0))
	must(t)(s.PutConsent(ctx, millgate, practice.Consent{ID: "c", Student: "mira", For: practice.ForHealth}, 0))
	ok(t, s.PutDecision(ctx, millgate, practice.Decision{Student: "mira", Kind: "quiet", Answer: practice.AnswerDone, By: "ines", At: at(0)}))
	ok(t, s.PutPassword(ctx, millgate, practice.Password{Person: "ines", Hash: "hash", Since: at(0)}))
	ok(t, s.PutPasskey(ctx, millgate, practice.Passkey{ID: "k", Person: "ines", Record: []byte(`{}`), Since: at(0)}))
	ok(t, s.PutDoor(ctx, millgate, practice.Door{Hash: "h", For: practice.StudentDoor, Of: "mira", Made: at(0)}))
	ok(t, s.PutSignIn(ctx, millgate, practice.SignIn{ID: "s", Who: millgate, Token: "t"}))
	return s
}

func dumped(t testing.TB, s *store.Store) string {
	t.Helper()
	var b bytes.Buffer
	ok(t, s.Dump(ctx, &b))
	return b.String()
}

// A dump fills an empty database, which then dumps the same and can be written
// to; one that is not empty refuses it.
func dump(t *testing.T, fresh Fresh) {
	from := furnished(t, fresh)
	text := dumped(t, from)
	for table, n := range strings.Split(strings.Trim(text[strings.LastIndex(text, "["):], "[]}\n"), ",") {
		if n == "0" {
			t.Errorf("the test has nothing in table %d", table)
		}
	}
	to := fresh(t)(TheKey)
	ok(t, to.Restore(ctx, strings.NewReader(text)))
	same(t, "dump of what was restored", dumped(t, to), text)
	same(t, "what was restored", got[Everything](t)(ReadAll(to, millgate)), got[Everything](t)(ReadAll(from, millgate)))
	ok(t, to.AddLog(ctx, millgate, "oda", practice.Log{Marks: []practice.DrillMark{{ID: "new", Student: "oda"}}}))
	lines := got[Everything](t)(ReadAll(to, millgate)).Trail
	if last := lines[len(lines)-1]; last.Noun != practice.MarkNoun {
		t.Errorf("the newest line of the trail is %+v", last)
	}
	refused(t, to.Restore(ctx, strings.NewReader(text)), practice.ExistsAlready)
}

// olderDump is what schema 1 dumped of a studio with one student.
const olderDump = `{"dump":1,"schema":1,"tables":[{"name":"studios","columns":["studio","id","n","doc","rev"]},` +
	`{"name":"students","columns":["studio","id","n","doc","rev","sealed","arrived","erase_key"]}]}
[0,"millgate","millgate",1,"{\"id\":\"millgate\",\"name\":\"Millgate Hall\"}",1]
[1,"millgate","mira",1,"{\"id\":\"mira\",\"name\":\"Mira\"}",1,"",0,"k"]
{"rows":[1,1]}
`

// OlderDump restores a dump of the schema before the present one, and one that
// fails on the way leaves a database that works.
func OlderDump(t *testing.T, fresh Fresh) {
	s := fresh(t)(TheKey)
	refused(t, s.Restore(ctx, strings.NewReader(olderDump[:len(olderDump)-5])), practice.StoreBroken)
	ok(t, s.Restore(ctx, strings.NewReader(olderDump)))
	ok(t, s.PutDoor(ctx, millgate, practice.Door{Hash: "h", For: practice.StudentDoor, Of: "mira", Made: at(0)}))
	same(t, "student", got[practice.Kept[practice.Student]](t)(s.Student(ctx, millgate, "mira")).Value.Name, "Mira")
}

func badDumps(t *testing.T, fresh Fresh) {
	s := fresh(t)(TheKey)
	text := dumped(t, furnished(t, fresh))
	lines := strings.SplitAfter(text, "\n")
	schema := strings.Index(text, `"schema":`) + len(`"schema":`)
	for name, c := range map[string]struct {
		text string
		code practice.Code
	}{
		"nothing":       {"", practice.StoreBroken},
		"no dump":       {"once upon a time", practice.StoreBroken},
		"another form":  {strings.Replace(text, `"dump":1`, `"dump":2`, 1), practice.WrongFormat},
		"newer":         {text[:schema] + "9" + text[schema:], practice.StoreNewer},
		"cut off":       {text[:len(text)-40], practice.StoreBroken},
		"a row missing": {strings.Join(append(append([]string{}, lines[:3]...), lines[4:]...), ""), practice.StoreBroken},
		"goes on":       {text + "[0]\n", practice.StoreBroken},
		"a short row":   {lines[0] + "[0,\"x\"]\n", practice.StoreBroken},
		"a bad table":   {lines[0] + "[99]\n", practice.StoreBroken},
		"an odd value":  {lines[0] + "[0,true,1,2,3,4]\n", practice.StoreBroken},
		"an odd name":   {strings.Replace(text, `"people"`, `"people; --"`, 1), practice.StoreBroken},
		"a second row":  {lines[0] + lines[1] + strings.Join(lines[1:], ""), practice.ExistsAlready},
	} {
		t.Run(name, func(t *testing.T) {
			refused(t, s.Restore(ctx, strings.NewReader(c.text)), c.code)
			if n := len(got[[]practice.Studio](t)(s.Studios(ctx))); n != 0 {
				t.Fatalf("%d studios after a bad dump", n)
			}
		})
	}
	ok(t, s.Restore(ctx, strings.NewReader(text)))
}

// Move is a dump from one kind of database into another and back.
func Move(t *testing.T, one, other Fresh) {
	from := furnished(t, one)
	to, back := other(t)(TheKey), one(t)(TheKey)
	ok(t, to.Restore(ctx, strings.NewReader(dumped(t, from))))
	same(t, "moved", got[Everything](t)(ReadAll(to, millgate)), got[Everything](t)(ReadAll(from, millgate)))
	ok(t, back.Restore(ctx, strings.NewReader(dumped(t, to))))
	same(t, "moved back", sorted(dumped(t, back)), sorted(dumped(t, from)))
}

// sorted is the lines of a dump in an order of their own: each database has its
// own order of rows.
func sorted(text string) []string {
	lines := strings.Split(text, "\n")
	slices.Sort(lines)
	return lines
}
