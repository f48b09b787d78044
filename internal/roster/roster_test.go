package roster_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/store/sqlite"
)

var today = time.Date(2026, 6, 3, 10, 0, 0, 0, time.UTC)

// plain is a sealer that seals nothing: what is sealed, and how, is the store's
// and the vault's to test.
type plain struct{}

func (plain) Seal(of string, text []byte) (string, error) { return of + "\n" + string(text), nil }

func (plain) Open(of, sealed string) ([]byte, error) {
	_, text, _ := strings.Cut(sealed, "\n")
	return []byte(text), nil
}

// hall is a studio with one student of Ines, one of Tom, one of nobody, all
// under age with a guardian each; Ada covers for Tom.
type hall struct {
	*roster.Roster
	t     *testing.T
	store *store.Store
	n     int
}

func newHall(t *testing.T, shares bool) *hall {
	t.Helper()
	h := &hall{t: t}
	id := func() string { h.n++; return fmt.Sprintf("id-%d", h.n) }
	s, err := sqlite.Open(context.Background(), filepath.Join(t.TempDir(), "studio.db"), plain{}, func() time.Time { return today }, id)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	h.store, h.Roster = s, roster.New(s, func() time.Time { return today }, id)
	owner := h.who(practice.Owner, "olive")
	born := practice.DateOf(2012, 1, 1)
	put := func(_ int64, err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	put(s.PutStudio(context.Background(), owner, practice.Studio{Format: 2, ID: "millgate", Name: "Millgate Hall", Shares: shares}, 0))
	for _, p := range []practice.Person{{ID: "olive", Role: practice.Owner}, {ID: "ines", Role: practice.Coach}, {ID: "tom", Role: practice.Coach},
		{ID: "ada", Role: practice.Coach}, {ID: "joss", Role: practice.Assistant}} {
		p.Name = p.ID
		put(s.PutPerson(context.Background(), owner, p, 0))
	}
	for _, c := range []struct{ student, coach string }{{"mira", "ines"}, {"theo", "tom"}, {"nell", ""}} {
		put(s.PutStudent(context.Background(), owner, practice.Student{ID: c.student, Name: c.student, Born: &born, Coach: c.coach,
			Stops: []practice.Stop{{No: []practice.Strain{practice.Inverted}, Since: practice.DateOf(2026, 5, 1)}}}, 0))
		put(s.PutGuardian(context.Background(), owner, practice.Guardian{ID: "g-" + c.student, Name: "Guardian", Students: []string{c.student}}, 0))
	}
	put(s.PutCover(context.Background(), owner, practice.Cover{ID: "cover", For: "tom", By: "ada", From: practice.DateOf(2026, 6, 1), To: practice.DateOf(2026, 6, 7)}, 0))
	return h
}

func (h *hall) who(role practice.Role, id string) practice.Who {
	return practice.Who{Studio: "millgate", ID: id, Role: role}
}

// agree lets the guardian consent to health notes of a student.
func (h *hall) agree(student string) {
	h.t.Helper()
	if err := h.Agree(context.Background(), h.who(practice.AsGuardian, "g-"+student), student, practice.ForHealth); err != nil {
		h.t.Fatal(err)
	}
}

func refused(err error) bool { return practice.HasCode(err, practice.NotAllowed) }

// use is one use of a student's record, and the right it takes.
type use struct {
	name  string
	right practice.Right
	do    func(h *hall, who practice.Who, student string) error
}

// nothingThere is nil where the error is that there is no such thing: whoever may
// is told so.
func nothingThere(err error) error {
	if practice.HasCode(err, practice.NotFound) {
		return nil
	}
	return err
}

var uses = []use{
	{"see", practice.SeeStudent, func(h *hall, who practice.Who, id string) error { _, err := h.Student(ctx, who, id); return err }},
	{"change", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		kept, err := h.store.Student(ctx, who, id)
		if err != nil {
			return err
		}
		kept.Value.Goal = "a longer line"
		_, err = h.Change(ctx, who, kept.Value, kept.Rev)
		return err
	}},
	{"add a stop", practice.WriteHealth, func(h *hall, who practice.Who, id string) error {
		kept, err := h.store.Student(ctx, who, id)
		if err != nil {
			return err
		}
		kept.Value.Stops = append(kept.Value.Stops, practice.Stop{No: []practice.Strain{practice.HandLoad}, Since: practice.DateOf(2026, 6, 1)})
		_, err = h.Change(ctx, who, kept.Value, kept.Rev)
		return err
	}},
	{"clear a stop", practice.WriteHealth, func(h *hall, who practice.Who, id string) error {
		kept, err := h.store.Student(ctx, who, id)
		if err != nil {
			return err
		}
		on := practice.DateOf(2026, 6, 1)
		kept.Value.Stops[0].ClearedOn, kept.Value.Stops[0].ClearedBy = &on, "Dr Lowe"
		_, err = h.Change(ctx, who, kept.Value, kept.Rev)
		return err
	}},
	{"note a cold try", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		return h.NoteCold(ctx, who, practice.Attempt{Student: id, Drill: practice.ColdTry, Witness: practice.Watched}, practice.DateOf(2026, 5, 1))
	}},
	{"say a try was filmed", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		return nothingThere(h.Witness(ctx, who, id, "none", practice.Filmed))
	}},
	{"read notes", practice.SeeStudent, func(h *hall, who practice.Who, id string) error { _, err := h.Notes(ctx, who, id); return err }},
	{"write a note", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		_, err := h.Write(ctx, who, practice.Note{Student: id, Kind: practice.PlainNote, Text: "tall shoulders"})
		return err
	}},
	{"write a health note", practice.WriteHealth, func(h *hall, who practice.Who, id string) error {
		_, err := h.Write(ctx, who, practice.Note{Student: id, Kind: practice.ScreenNote, Text: "an old fall"})
		return err
	}},
	{"read consents", practice.SeeStudent, func(h *hall, who practice.Who, id string) error { _, err := h.Consents(ctx, who, id); return err }},
	{"withdraw", practice.GiveConsent, func(h *hall, who practice.Who, id string) error {
		return h.Withdraw(ctx, who, id, practice.ForMessages)
	}},
	{"read guardians", practice.SeeStudent, func(h *hall, who practice.Who, id string) error { _, err := h.Guardians(ctx, who, id); return err }},
	{"put a guardian", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		_, err := h.PutGuardian(ctx, who, practice.Guardian{ID: "second-" + who.ID, Name: "Second", Students: []string{id}}, 0)
		return err
	}},
	{"read the trail", practice.SeeAuditTrail, func(h *hall, who practice.Who, id string) error { _, err := h.Trail(ctx, who, id, "", 10); return err }},
	{"enter a floor test", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		return h.Tested(ctx, who, id, library.Builtin(), []practice.ProbeResult{{Test: practice.FearTest, Value: 4}}, practice.DateOf(2026, 6, 2))
	}},
	{"write a lesson down", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		return h.Lesson(ctx, who, practice.Note{Student: id, Text: "line"}, practice.DateOf(2026, 6, 1), 0)
	}},
	{"strike a lesson", practice.CoachStudent, func(h *hall, who practice.Who, id string) error {
		return nothingThere(h.StrikeLesson(ctx, who, id, "nothing"))
	}},
	{"read sessions", practice.SeeStudent, func(h *hall, who practice.Who, id string) error { _, err := h.Sessions(ctx, who, id); return err }},
	{"read floor tests", practice.SeeStudent, func(h *hall, who practice.Who, id string) error { _, err := h.Results(ctx, who, id); return err }},
	{"take away", practice.ExportPerson, func(h *hall, who practice.Who, id string) error { return h.May(ctx, who, practice.ExportPerson, id) }},
	{"erase", practice.ErasePerson, func(h *hall, who practice.Who, id string) error { _, err := h.Erase(ctx, who, id); return err }},
}

var ctx = context.Background()

// TestRightsOfEveryUse walks role x use x owner: a use is refused exactly where
// the table of rights does not have it, and then nothing changed.
func TestRightsOfEveryUse(t *testing.T) {
	people := []struct {
		role practice.Role
		id   string
		ties map[string]practice.Tie // by student, in a studio that does not share
	}{
		{practice.Owner, "olive", map[string]practice.Tie{"mira": practice.Other, "theo": practice.Other, "nell": practice.Mine}},
		{practice.Coach, "ines", map[string]practice.Tie{"mira": practice.Mine, "theo": practice.Other, "nell": practice.Mine}},
		{practice.Coach, "ada", map[string]practice.Tie{"mira": practice.Other, "theo": practice.Mine, "nell": practice.Mine}},
		{practice.Assistant, "joss", map[string]practice.Tie{"mira": practice.Other, "theo": practice.Other, "nell": practice.Mine}},
		{practice.AsStudent, "mira", map[string]practice.Tie{"mira": practice.Self, "theo": practice.Other, "nell": practice.Other}},
		{practice.AsGuardian, "g-mira", map[string]practice.Tie{"mira": practice.Ward, "theo": practice.Other, "nell": practice.Other}},
		{practice.AtTheDesk, "machine", map[string]practice.Tie{"mira": practice.Other, "theo": practice.Other, "nell": practice.Other}},
	}
	allowed, denied := 0, 0
	for _, shares := range []bool{false, true} {
		for _, p := range people {
			for student, tie := range p.ties {
				if staff := p.role == practice.Owner || p.role == practice.Coach || p.role == practice.Assistant; shares && staff && tie == practice.Other {
					tie = practice.Shared
				}
				h := newHall(t, shares)
				h.agree(student)
				for _, u := range uses {
					before := h.state(student)
					err := u.do(h, h.who(p.role, p.id), student)
					want := p.role.May(u.right, tie)
					if want && err != nil || !want && !refused(err) {
						t.Errorf("shares %t: %s %s, %s, %s: %v", shares, p.role, p.id, u.name, student, err)
					}
					if want {
						allowed++
						continue
					}
					denied++
					if after := h.state(student); after != before {
						t.Errorf("%s %s, %s, %s: refused, and yet it changed:\n%s\n%s", p.role, p.id, u.name, student, before, after)
					}
				}
			}
		}
	}
	if allowed < 100 || denied < 100 {
		t.Errorf("%d allowed, %d refused: the table was not walked", allowed, denied)
	}
}

// state is everything kept of a student, as text.
func (h *hall) state(student string) string {
	r, err := h.store.Record(ctx, h.who(practice.AtTheDesk, "machine"), student)
	if err != nil && !practice.HasCode(err, practice.NotFound) {
		h.t.Fatal(err)
	}
	return fmt.Sprintf("%+v", r)
}

// Whoever may not see a student cannot tell from the answer whether there is
// one.
func TestAStrangerLearnsNothing(t *testing.T) {
	h := newHall(t, false)
	coach := h.who(practice.Coach, "ines")
	_, there := h.Student(ctx, coach, "theo")
	_, not := h.Student(ctx, coach, "nobody")
	if there == nil || not == nil || there.Error() != not.Error() {
		t.Errorf("%v; %v", there, not)
	}
	if _, err := h.Student(ctx, h.who(practice.Owner, "olive"), "nobody"); !practice.HasCode(err, practice.NotFound) {
		t.Errorf("the owner: %v", err)
	}
}

func TestWhoSeesWhom(t *testing.T) {
	h := newHall(t, false)
	for _, c := range []struct {
		who  practice.Who
		want string
	}{
		{h.who(practice.Owner, "olive"), "mira nell theo"},
		{h.who(practice.Coach, "ines"), "mira nell"},
		{h.who(practice.Coach, "ada"), "nell theo"},
		{h.who(practice.Assistant, "joss"), ""},
		{h.who(practice.AsStudent, "mira"), "mira"},
		{h.who(practice.AsGuardian, "g-theo"), "theo"},
	} {
		students, err := h.Students(ctx, c.who)
		if err != nil {
			t.Fatal(err)
		}
		seen := map[string]bool{}
		for _, s := range students {
			seen[s.Value.ID] = true
		}
		var ids []string
		for _, id := range []string{"mira", "nell", "theo"} {
			if seen[id] {
				ids = append(ids, id)
			}
		}
		if got := strings.Join(ids, " "); got != c.want || len(seen) != len(ids) {
			t.Errorf("%s: %q, want %q", c.who.ID, got, c.want)
		}
	}
	pupils, err := h.Pupils(ctx, h.who(practice.Assistant, "joss"))
	if err != nil || len(pupils) != 3 || len(pupils[0].No) != 1 || !pupils[0].Minor {
		t.Errorf("what a class helper sees: %+v, %v", pupils, err)
	}
	if pupils, err := h.Pupils(ctx, h.who(practice.AsStudent, "mira")); err != nil || len(pupils) != 0 {
		t.Errorf("what a student sees of a class: %+v, %v", pupils, err)
	}
}

// A stop stays: it is neither left out nor loosened nor opened again.
func TestStopsStay(t *testing.T) {
	h := newHall(t, false)
	coach := h.who(practice.Coach, "ines")
	change := func(do func(*practice.Student)) error {
		kept, err := h.Student(ctx, coach, "mira")
		if err != nil {
			t.Fatal(err)
		}
		do(&kept.Value)
		_, err = h.Change(ctx, coach, kept.Value, kept.Rev)
		return err
	}
	var faults practice.Faults
	for name, do := range map[string]func(*practice.Student){
		"left out":  func(s *practice.Student) { s.Stops = nil },
		"loosened":  func(s *practice.Student) { s.Stops[0].No = []practice.Strain{practice.Overhead} },
		"made late": func(s *practice.Student) { s.Stops[0].Since += 30 },
	} {
		if err := change(do); !errors.As(err, &faults) || faults[0].Field != "stops" {
			t.Errorf("%s: %v", name, err)
		}
	}
	clear := func(by string) error {
		on := practice.DateOf(2026, 6, 2)
		return change(func(s *practice.Student) { s.Stops[0].ClearedOn, s.Stops[0].ClearedBy = &on, by })
	}
	if err := clear(""); !errors.As(err, &faults) {
		t.Errorf("cleared by nobody: %v", err)
	}
	if err := clear("Dr Lowe"); err != nil {
		t.Fatal(err)
	}
	if err := change(func(s *practice.Student) { s.Stops[0].ClearedOn, s.Stops[0].ClearedBy = nil, "" }); !errors.As(err, &faults) {
		t.Errorf("opened again: %v", err)
	}
	if err := clear("Dr Ash"); !errors.As(err, &faults) {
		t.Errorf("cleared twice: %v", err)
	}
}

// Consent: a guardian's under age, nobody's for nobody; withdrawn, the story
// goes and the stop stays.
func TestConsentGivenAndWithdrawn(t *testing.T) {
	h := newHall(t, false)
	coach, student, guardian := h.who(practice.Coach, "ines"), h.who(practice.AsStudent, "mira"), h.who(practice.AsGuardian, "g-mira")
	story := practice.Note{Student: "mira", Kind: practice.StopNote, Text: "pressure behind the eye"}
	if _, err := h.Write(ctx, coach, story); !practice.HasCode(err, practice.NoConsent) {
		t.Errorf("a story nobody agreed to: %v", err)
	}
	if err := h.Agree(ctx, student, "mira", practice.ForHealth); !refused(err) {
		t.Errorf("a child agreed alone: %v", err)
	}
	for range 2 { // twice is once
		h.agree("mira")
	}
	if consents, _ := h.Consents(ctx, coach, "mira"); len(consents) != 1 || consents[0].Value.By != "g-mira" {
		t.Errorf("%+v", consents)
	}
	if _, err := h.Write(ctx, coach, story); err != nil {
		t.Fatal(err)
	}
	if _, err := h.Write(ctx, coach, practice.Note{Student: "mira", Kind: practice.PlainNote, Text: "tall shoulders"}); err != nil {
		t.Fatal(err)
	}
	if err := h.Withdraw(ctx, student, "mira", practice.ForHealth); err != nil { // anybody it is about may take it back
		t.Fatal(err)
	}
	notes, err := h.Notes(ctx, guardian, "mira")
	if err != nil || len(notes) != 1 || notes[0].Value.Kind != practice.PlainNote {
		t.Errorf("after it was withdrawn: %+v, %v", notes, err)
	}
	kept, err := h.Student(ctx, coach, "mira")
	if err != nil || len(kept.Value.Stops) != 1 || kept.Value.Stops[0].ClearedOn != nil {
		t.Errorf("the stop: %+v, %v", kept.Value.Stops, err)
	}
	trail, err := h.Trail(ctx, coach, "mira", "", 100)
	if err != nil || strings.Contains(fmt.Sprintf("%+v", trail), "pressure") {
		t.Errorf("the trail still tells: %v", err)
	}
	if _, err := h.Write(ctx, coach, story); !practice.HasCode(err, practice.NoConsent) {
		t.Errorf("a story after it was withdrawn: %v", err)
	}
}

// A result its test does not allow keeps none of those entered with it.
func TestFloorTests(t *testing.T) {
	h := newHall(t, false)
	coach := h.who(practice.Coach, "ines")
	lib, day := library.Builtin(), practice.DateOf(2026, 6, 1)
	err := h.Tested(ctx, coach, "mira", lib, []practice.ProbeResult{{Test: lib.Probes[0].ID, Value: lib.Probes[0].Min}, {Test: practice.FearTest, Value: 11}}, day)
	var faults practice.Faults
	if !errors.As(err, &faults) || faults[0].Field != practice.FearTest {
		t.Errorf("fear of 11: %v", err)
	}
	if got, err := h.Results(ctx, coach, "mira"); err != nil || len(got) != 0 {
		t.Errorf("kept with a fault: %+v, %v", got, err)
	}
	if err := h.Tested(ctx, coach, "mira", lib, []practice.ProbeResult{{Test: "no-test", Value: 1}}, day); !practice.HasCode(err, practice.UnknownID) {
		t.Errorf("a test nobody knows: %v", err)
	}
	if err := h.Tested(ctx, coach, "mira", lib, []practice.ProbeResult{{Test: practice.FearTest, Value: 7}}, day+30); err == nil {
		t.Error("a test of next month")
	}
	if err := h.Tested(ctx, coach, "mira", lib, []practice.ProbeResult{{Test: practice.FearTest, Value: 7}}, day); err != nil {
		t.Fatal(err)
	}
	got, err := h.Results(ctx, coach, "mira")
	if err != nil || len(got) != 1 || got[0].By != "ines" || got[0].Component != "confidence" || got[0].Unit == "" {
		t.Errorf("%+v, %v", got, err)
	}
}

func TestTwoCoachesAtOneRecord(t *testing.T) {
	h := newHall(t, true)
	kept, err := h.Student(ctx, h.who(practice.Coach, "ines"), "mira")
	if err != nil {
		t.Fatal(err)
	}
	first, second := kept.Value, kept.Value
	first.Goal, second.Goal = "press", "one arm"
	if _, err := h.Change(ctx, h.who(practice.Coach, "ines"), first, kept.Rev); err != nil {
		t.Fatal(err)
	}
	if _, err := h.Change(ctx, h.who(practice.Coach, "tom"), second, kept.Rev); !practice.HasCode(err, practice.ChangedSince) {
		t.Errorf("the second was not told: %v", err)
	}
	if got, _ := h.Student(ctx, h.who(practice.Coach, "tom"), "mira"); got.Value.Goal != "press" {
		t.Errorf("the first was lost: %s", got.Value.Goal)
	}
}

func TestCovers(t *testing.T) {
	h := newHall(t, false)
	cover := func(who practice.Who, c practice.Cover) error { return h.Cover(ctx, who, c) }
	days := practice.Cover{By: "tom", From: practice.DateOf(2026, 6, 3), To: practice.DateOf(2026, 6, 3)}
	own, others := days, days
	own.For, others.For, others.By = "ines", "tom", "ines"
	if err := cover(h.who(practice.Coach, "ines"), own); err != nil {
		t.Fatal(err)
	}
	if err := cover(h.who(practice.Coach, "ines"), others); !refused(err) {
		t.Errorf("a coach took over another's students: %v", err)
	}
	if _, err := h.Student(ctx, h.who(practice.Coach, "tom"), "mira"); err != nil {
		t.Errorf("the cover does not hold: %v", err)
	}
	covers, err := h.Covers(ctx, h.who(practice.Assistant, "joss"))
	if err != nil || len(covers) != 2 {
		t.Fatalf("%+v, %v", covers, err)
	}
	for _, c := range covers {
		err := h.EndCover(ctx, h.who(practice.Coach, "ines"), c.Value.ID)
		if c.Value.For == "ines" && err != nil || c.Value.For == "tom" && !refused(err) {
			t.Errorf("%s ends: %v", c.Value.For, err)
		}
	}
	if _, err := h.Student(ctx, h.who(practice.Coach, "tom"), "mira"); !refused(err) {
		t.Errorf("the cover still holds: %v", err)
	}
}

// A cover is between people who coach here, is not over yet, and is of students
// of the one who is away; whether another's student is there is not told.
func TestCoversThatCannotBe(t *testing.T) {
	h := newHall(t, false)
	sound := practice.Cover{For: "ines", By: "tom", From: practice.DateOf(2026, 6, 3), To: practice.DateOf(2026, 6, 3), Student: "mira"}
	for name, c := range map[string]struct {
		spoil func(*practice.Cover)
		field string
	}{
		"by an assistant":         {func(c *practice.Cover) { c.By = "joss" }, "by"},
		"by nobody here":          {func(c *practice.Cover) { c.By = "nobody" }, "by"},
		"over":                    {func(c *practice.Cover) { c.From, c.To = practice.DateOf(2026, 5, 1), practice.DateOf(2026, 5, 2) }, "to"},
		"of another's student":    {func(c *practice.Cover) { c.Student = "theo" }, "student"},
		"of a student of nobody":  {func(c *practice.Cover) { c.Student = "nell" }, "student"},
		"of a student not there":  {func(c *practice.Cover) { c.Student = "nothing" }, "student"},
		"by the one who is away":  {func(c *practice.Cover) { c.By = "ines" }, "by"},
		"with the days turned":    {func(c *practice.Cover) { c.From = c.To + 1 }, "to"},
		"of what cannot be an id": {func(c *practice.Cover) { c.Student = "../x" }, "student"},
	} {
		cover := sound
		c.spoil(&cover)
		var fs practice.Faults
		if err := h.Cover(ctx, h.who(practice.Coach, "ines"), cover); !errors.As(err, &fs) || len(fs) != 1 || fs[0].Field != c.field {
			t.Errorf("%s: %v", name, err)
		}
	}
	there, not := sound, sound
	there.Student, not.Student = "theo", "nothing"
	one, other := h.Cover(ctx, h.who(practice.Coach, "ines"), there), h.Cover(ctx, h.who(practice.Coach, "ines"), not)
	if strings.ReplaceAll(one.Error(), "theo", "nothing") != other.Error() {
		t.Errorf("%v; %v", one, other)
	}
	if err := h.Cover(ctx, h.who(practice.Coach, "ines"), sound); err != nil {
		t.Error(err)
	}
}

// A new student is the coach's own; an owner may give them to somebody.
func TestTakeIn(t *testing.T) {
	h := newHall(t, false)
	s := practice.Student{ID: "odile", Name: "Odile", Coach: "tom"}
	kept, err := h.TakeIn(ctx, h.who(practice.Coach, "ines"), s)
	if err != nil || kept.Value.Coach != "ines" {
		t.Errorf("%+v, %v", kept, err)
	}
	s.ID = "pim"
	if kept, err := h.TakeIn(ctx, h.who(practice.Owner, "olive"), s); err != nil || kept.Value.Coach != "tom" {
		t.Errorf("%+v, %v", kept, err)
	}
	if _, err := h.TakeIn(ctx, h.who(practice.Coach, "ines"), s); !practice.HasCode(err, practice.ExistsAlready) {
		t.Errorf("twice: %v", err)
	}
	if _, err := h.TakeIn(ctx, h.who(practice.Assistant, "joss"), s); !refused(err) {
		t.Errorf("an assistant: %v", err)
	}
	s.ID, s.Name = "q", ""
	if _, err := h.TakeIn(ctx, h.who(practice.Coach, "ines"), s); err == nil {
		t.Error("a student without a name")
	}
	kept, err = h.Student(ctx, h.who(practice.Coach, "ines"), "odile")
	if err != nil {
		t.Fatal(err)
	}
	kept.Value.Coach = "tom"
	if _, err := h.Change(ctx, h.who(practice.Coach, "ines"), kept.Value, kept.Rev); !refused(err) {
		t.Errorf("a coach gave a student away: %v", err)
	}
}
