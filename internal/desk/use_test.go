package desk_test

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"aplomb/internal/assess"
	"aplomb/internal/desk"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/store/sqlite"
)

type plain struct{}

func (plain) Seal(of string, text []byte) (string, error) { return of + "\n" + string(text), nil }

func (plain) Open(of, sealed string) ([]byte, error) {
	_, text, _ := strings.Cut(sealed, "\n")
	return []byte(text), nil
}

var (
	ctx   = context.Background()
	coach = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Coach}
	joss  = practice.Who{Studio: "millgate", ID: "joss", Role: practice.Assistant}
)

// hall is a studio of Ines with two students; now can be moved on.
func hall(t *testing.T) (d *desk.Desk, s *store.Store, now *time.Time) {
	t.Helper()
	at := time.Date(2026, 6, 7, 9, 0, 0, 0, time.UTC)
	now = &at
	n := 0
	id := func() string { n++; return fmt.Sprintf("id-%d", n) }
	clock := func() time.Time { return *now }
	s, err := sqlite.Open(ctx, filepath.Join(t.TempDir(), "studio.db"), plain{}, clock, id)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	_, err = s.PutStudio(ctx, coach, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0)
	for _, st := range []practice.Student{{ID: "mira", Name: "Mira", Coach: "ines"}, {ID: "theo", Name: "Theo", Coach: "tom"}} {
		_, err2 := s.PutStudent(ctx, coach, st, 0)
		err = errors.Join(err, err2)
	}
	if err != nil {
		t.Fatal(err)
	}
	merge := func(own []practice.Drill) *practice.Library { return library.Merge(library.Builtin(), own) }
	return desk.New(s, roster.New(s, clock, id), merge, clock), s, now
}

func hurt(t *testing.T, s *store.Store, student string, at time.Time) {
	t.Helper()
	err := s.AddLog(ctx, coach, student, practice.Log{Sessions: []practice.Session{{ID: student + "-x", Student: student,
		At: practice.Instant{UnixNano: at.UnixNano()}, Minutes: practice.Known(40.0), PainSite: "elbow", Pain: practice.Known(7.0)}}})
	if err != nil {
		t.Fatal(err)
	}
}

// A desk shows what was worked out, says how much waits, and nothing of another
// coach's students.
func TestTodayShowsWhatWasWorkedOut(t *testing.T) {
	d, s, now := hall(t)
	hurt(t, s, "mira", now.Add(-24*time.Hour))
	hurt(t, s, "theo", now.Add(-24*time.Hour))
	before, err := d.Today(ctx, coach)
	if err != nil || before.Waiting != 1 || len(before.Students) != 1 || len(before.Notices.Shown) != 0 {
		t.Fatalf("before: %+v, %v", before, err)
	}
	if n, err := d.Refresh(ctx, "millgate", 1); n != 1 || err != nil {
		t.Fatal(n, err)
	}
	if n, err := d.Refresh(ctx, "millgate", 10); n != 1 || err != nil {
		t.Fatal(n, err)
	}
	if n, err := d.Refresh(ctx, "millgate", 10); n != 0 || err != nil {
		t.Fatalf("worked out again: %d, %v", n, err)
	}
	after, err := d.Today(ctx, coach)
	if err != nil || after.Waiting != 0 || len(after.Notices.Shown) != 1 {
		t.Fatalf("after: %+v, %v", after, err)
	}
	if n := after.Notices.Shown[0]; n.Student != "mira" || n.Kind != desk.Hurts || !n.Evidence.Stops || n.Evidence.Level != 7 {
		t.Errorf("%+v", n)
	}
	// Where it hurts is sealed in the record and must not lie open in a look.
	look, err := s.Look(ctx, coach, "mira")
	if err != nil || strings.Contains(string(look.Doc), "elbow") {
		t.Errorf("the look tells where it hurts: %v", err)
	}
	*now = now.Add(24 * time.Hour)
	if next, err := d.Today(ctx, coach); err != nil || next.Waiting != 1 {
		t.Errorf("the day after: %d wait, %v", next.Waiting, err)
	}
}

// A student's own look is always fresh.
func TestALookIsWorkedOutWhereItIsNotFresh(t *testing.T) {
	d, s, now := hall(t)
	l, err := d.Of(ctx, coach, "mira")
	if err != nil || len(l.Notices) != 0 {
		t.Fatalf("%+v, %v", l.Notices, err)
	}
	hurt(t, s, "mira", now.Add(-time.Hour))
	if l, err = d.Of(ctx, coach, "mira"); err != nil || len(l.Notices) != 1 {
		t.Fatalf("after pain: %+v, %v", l.Notices, err)
	}
	if _, err := s.PutDrill(ctx, coach, practice.Drill{ID: "own", Name: "Own"}, 0); err != nil {
		t.Fatal(err)
	}
	if n, err := d.Refresh(ctx, "millgate", 10); n != 2 || err != nil {
		t.Errorf("after a new drill %d were worked out, %v", n, err)
	}
	for _, who := range []practice.Who{joss, {Studio: "millgate", ID: "theo", Role: practice.AsStudent}} {
		if _, err := d.Of(ctx, who, "mira"); !practice.HasCode(err, practice.NotAllowed) {
			t.Errorf("%s saw: %v", who.ID, err)
		}
	}
}

func TestDecideAndUndo(t *testing.T) {
	d, s, now := hall(t)
	if _, err := s.PutWeek(ctx, coach, practice.Week{Student: "mira", ISOWeek: practice.ISOWeek{Year: 2026, Week: 20}, Version: 1, Status: practice.HandedOver}, 0); err != nil {
		t.Fatal(err)
	}
	if _, err := d.Refresh(ctx, "millgate", 10); err != nil {
		t.Fatal(err)
	}
	today, err := d.Today(ctx, coach)
	if err != nil || len(today.Notices.Shown) != 1 || today.Notices.Shown[0].Kind != desk.Quiet {
		t.Fatalf("%+v, %v", today.Notices, err)
	}
	n := today.Notices.Shown[0]
	until := today.Day + 3
	ask := func(decision practice.Decision) error {
		decision.Student, decision.Kind, decision.About = n.Student, string(n.Kind), n.About
		return d.Decide(ctx, coach, decision)
	}
	shown := func() int {
		t.Helper()
		if _, err := d.Refresh(ctx, "millgate", 10); err != nil {
			t.Fatal(err)
		}
		today, err := d.Today(ctx, coach)
		if err != nil {
			t.Fatal(err)
		}
		return len(today.Notices.Shown)
	}
	var faults practice.Faults
	if err := ask(practice.Decision{Answer: practice.AnswerMuted}); !errors.As(err, &faults) || faults[0].Field != "reason" {
		t.Errorf("muted without a reason: %v", err)
	}
	if err := ask(practice.Decision{Answer: practice.AnswerPostponed, Until: &until}); err != nil || shown() != 0 {
		t.Errorf("postponed: %v, %d shown", err, shown())
	}
	*now = now.Add(72 * time.Hour)
	if shown() != 1 {
		t.Error("postponed, and gone for good")
	}
	if err := ask(practice.Decision{Answer: practice.AnswerMuted, Reason: "at sea until autumn"}); err != nil || shown() != 0 {
		t.Errorf("muted: %v", err)
	}
	if today, err := d.Today(ctx, coach); err != nil || len(today.Muted) != 1 || today.Muted[0].By != "ines" {
		t.Errorf("%+v, %v", today.Muted, err)
	}
	if err := d.Undo(ctx, coach, "mira", "quiet"); err != nil || shown() != 1 {
		t.Errorf("undone: %v", err)
	}
	if err := d.Decide(ctx, coach, practice.Decision{Student: "mira", Kind: string(desk.Hurts), Answer: practice.AnswerMuted, Reason: "no"}); err == nil {
		t.Error("pain was muted")
	}
	if err := d.Decide(ctx, coach, practice.Decision{Student: "theo", Kind: "quiet", Answer: practice.AnswerDone}); !practice.HasCode(err, practice.NotAllowed) {
		t.Errorf("another coach's student: %v", err)
	}
}

// What the logs say together is worked out once a week, and names nobody.
func TestLearnsOnceAWeek(t *testing.T) {
	d, s, now := hall(t)
	learn := func() bool {
		t.Helper()
		if _, err := d.Refresh(ctx, "millgate", 10); err != nil {
			t.Fatal(err)
		}
		did, err := d.Learn(ctx, "millgate")
		if err != nil {
			t.Fatal(err)
		}
		return did
	}
	if _, err := d.Learned(ctx, coach); !practice.HasCode(err, practice.NotFound) || learn() {
		t.Errorf("of two students without a log: %v", err)
	}
	for i := range 4 {
		id := fmt.Sprintf("unmistakable-%d", i)
		if _, err := s.PutStudent(ctx, coach, practice.Student{ID: id, Name: id}, 0); err != nil {
			t.Fatal(err)
		}
		var rows practice.Log
		for n := range 30 {
			rows.Attempts = append(rows.Attempts, practice.Attempt{ID: fmt.Sprintf("%s-%d", id, n), Student: id, Drill: "knee-rocks",
				At: practice.Instant{UnixNano: now.Add(-time.Duration(n) * 24 * time.Hour).UnixNano()}, Passed: practice.Known(n%3 > 0)})
		}
		if err := s.AddLog(ctx, coach, id, rows); err != nil {
			t.Fatal(err)
		}
	}
	if !learn() || learn() {
		t.Error("not once")
	}
	l, err := d.Learned(ctx, coach)
	if err != nil || l.Students != 4 || l.AsOf != practice.DateOf(2026, 6, 7) {
		t.Fatalf("%+v, %v", l, err)
	}
	told := false
	for _, drill := range l.Difficulties {
		told = told || drill.Drill == "knee-rocks" && drill.Tries == 120 && drill.Students == 4
	}
	if !told {
		t.Errorf("%+v", l.Difficulties)
	}
	if lib, err := d.Library(ctx, coach); err != nil {
		t.Error(err)
	} else if rocks, ok := lib.Drill("knee-rocks"); !ok || len(l.Uses) != 1 || l.Uses[0] != (assess.DrillUse{Drill: "knee-rocks", Students: 4, Sets: 120 / float64(rocks.Reps)}) {
		t.Errorf("%+v", l.Uses)
	}
	kept, err := s.Lore(ctx, coach)
	if err != nil || strings.Contains(string(kept.Doc), "unmistakable") {
		t.Errorf("the lore names a student: %v", err)
	}
	*now = now.Add(6 * 24 * time.Hour)
	if learn() {
		t.Error("again within a week")
	}
	*now = now.Add(24 * time.Hour)
	if !learn() {
		t.Error("not after a week")
	}
}
