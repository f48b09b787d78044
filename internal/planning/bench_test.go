package planning_test

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"aplomb/internal/desk"
	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/planning"
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
	ctx    = context.Background()
	owner  = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}
	joss   = practice.Who{Studio: "millgate", ID: "joss", Role: practice.Assistant}
	monday = practice.DateOf(2026, 3, 30)
	week   = monday.Week()
)

// millgate is the studio of the examples on a bench, on the Sunday before the
// week.
func millgate(t testing.TB) (*planning.Bench, *store.Store) {
	t.Helper()
	n := 0
	now := func() time.Time { return time.Date(2026, 3, 29, 20, 0, 0, 0, time.UTC) }
	id := func() string { n++; return fmt.Sprintf("id-%d", n) }
	s, err := sqlite.Open(ctx, filepath.Join(t.TempDir(), "studio.db"), plain{}, now, id)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	err = s.Load(ctx, owner, func(l *store.Loader) error {
		faults, err := folder.Scan(os.DirFS("../../doc/example/millgate"), library.Builtin(), l)
		if len(faults) > 0 {
			return faults
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	people := roster.New(s, now, id)
	merge := func(own []practice.Drill) *practice.Library { return library.Merge(library.Builtin(), own) }
	return planning.NewBench(s, people, desk.New(s, people, merge, now), 200*time.Millisecond, now, func() uint64 { return 7 }), s
}

func review(t testing.TB, b *planning.Bench, student string) planning.Review {
	t.Helper()
	r, err := b.Review(ctx, owner, student, week, 3)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func drillsOf(w practice.Week) (ids []string) {
	for _, s := range w.Sessions {
		for _, bl := range s.Blocks {
			for _, it := range bl.Items {
				if !slices.Contains(ids, it.Drill) {
					ids = append(ids, it.Drill)
				}
			}
		}
	}
	return ids
}

// A coach's whole minute: drop, keep, fewer minutes, a cue, another day, and
// hand over. Every change is in the next draft; the frozen week is what the
// draft was.
func TestAWeekIsChangedAndHandedOver(t *testing.T) {
	b, _ := millgate(t)
	r := review(t, b, "orla")
	if len(r.Draft.Result.Drills) < 3 || r.Wish.Rev != 0 {
		t.Fatalf("the first draft: %+v", r.Draft.Result.Drills)
	}
	drop, other, cued := r.Draft.Result.Drills[0].ID, r.Draft.LeftOut[0].Drill, r.Draft.Result.Drills[1].ID
	from := r.Draft.Week.Sessions[0].Day
	to := practice.Weekday(0)
	for planning.Taken(r.Subject.Student.Slots, nil, to) {
		to++
	}
	err := b.Wish(ctx, owner, "orla", week, 0, func(w *practice.Wish) {
		share := 0.8
		w.Bans, w.Locks, w.Minutes = []string{drop}, []practice.WishLock{{Drill: other}}, &share
		w.Cues, w.Moves = []practice.WishCue{{Drill: cued, Text: "Ribs in, then push."}}, []practice.WishMove{{From: from, To: to}}
	})
	if err != nil {
		t.Fatal(err)
	}
	after := review(t, b, "orla")
	ids := drillsOf(after.Draft.Week)
	if slices.Contains(ids, drop) || !slices.Contains(ids, other) || after.Draft.Share.Of != 0.8 {
		t.Errorf("dropped %s, kept %s: %v at %g", drop, other, ids, after.Draft.Share.Of)
	}
	said, there := false, false
	for _, s := range after.Draft.Week.Sessions {
		there = there || s.Day == to
		if s.Day == from {
			t.Errorf("the session is still on %s", from)
		}
		for _, bl := range s.Blocks {
			for _, it := range bl.Items {
				said = said || it.Drill == cued && it.Cue == "Ribs in, then push."
			}
		}
	}
	if !there || slices.Contains(ids, cued) && !said {
		t.Errorf("moved %t, cue %t", there, said)
	}
	why := func(*planning.Review, string) string { return "because" }
	if _, err := b.HandOver(ctx, owner, "orla", week, 0, why); !practice.HasCode(err, practice.ChangedSince) {
		t.Errorf("handed over what was no longer the draft: %v", err)
	}
	frozen, err := b.HandOver(ctx, owner, "orla", week, after.Wish.Rev, why)
	if err != nil || frozen.Status != practice.HandedOver || frozen.Seed != 7 || len(frozen.Problem) == 0 || frozen.AsOf != monday-1 {
		t.Fatalf("%+v, %v", frozen, err)
	}
	if len(frozen.Tests) != len(after.Draft.Tests) {
		t.Errorf("%d floor tests kept of %d", len(frozen.Tests), len(after.Draft.Tests))
	}
	again := review(t, b, "orla")
	if len(again.Handed) != 1 || !slices.Equal(drillsOf(again.Handed[0]), ids) || again.Draft.Week.Version != again.Handed[0].Version+1 {
		t.Errorf("handed %d, %v; next version %d", len(again.Handed), drillsOf(again.Handed[0]), again.Draft.Week.Version)
	}
}

// Two coaches at one week: the second is told, and the first's change stands.
func TestTwoCoachesAtOneWeek(t *testing.T) {
	b, _ := millgate(t)
	r := review(t, b, "bram")
	ban := func(id string) func(*practice.Wish) {
		return func(w *practice.Wish) { w.Bans = append(w.Bans, id) }
	}
	if err := b.Wish(ctx, owner, "bram", week, r.Wish.Rev, ban(r.Draft.Result.Drills[0].ID)); err != nil {
		t.Fatal(err)
	}
	if err := b.Wish(ctx, owner, "bram", week, r.Wish.Rev, ban(r.Draft.Result.Drills[1].ID)); !practice.HasCode(err, practice.ChangedSince) {
		t.Errorf("the second was not told: %v", err)
	}
	now := review(t, b, "bram")
	if len(now.Wish.Value.Bans) != 1 {
		t.Errorf("%+v", now.Wish)
	}
	if err := b.Wish(ctx, owner, "bram", week, now.Wish.Rev, func(w *practice.Wish) { w.Bans = nil }); err != nil {
		t.Fatal(err)
	}
	if back := review(t, b, "bram"); back.Wish.Rev != 0 || !slices.Equal(drillsOf(back.Draft.Week), drillsOf(r.Draft.Week)) {
		t.Errorf("taken back, the week is another: %+v", back.Wish)
	}
}

func TestWhatABenchRefuses(t *testing.T) {
	b, s := millgate(t)
	if _, err := b.Review(ctx, joss, "orla", week, 0); !practice.HasCode(err, practice.NotAllowed) {
		t.Errorf("an assistant reviews: %v", err)
	}
	if err := b.Wish(ctx, joss, "orla", week, 0, func(*practice.Wish) {}); !practice.HasCode(err, practice.NotAllowed) {
		t.Errorf("an assistant wishes: %v", err)
	}
	var faults practice.Faults
	err := b.Wish(ctx, owner, "orla", week, 0, func(w *practice.Wish) { share := 3.0; w.Minutes = &share })
	if !errors.As(err, &faults) || faults[0].Field != "minutes_share" {
		t.Errorf("three times the minutes: %v", err)
	}
	if wishes, err := s.Wishes(ctx, owner); err != nil || slices.ContainsFunc(wishes, func(k practice.Kept[practice.Wish]) bool {
		return k.Value.Student == "orla" && k.Value.Week != nil && *k.Value.Week == week
	}) {
		t.Errorf("a refused wish was kept: %v", err)
	}
}

// The waiting list is everybody whose week is not handed over; a group's shared
// drills are worked out from its members.
func TestWaitingAndGroups(t *testing.T) {
	b, _ := millgate(t)
	before, err := b.Waiting(ctx, owner, week)
	if err != nil || len(before) < 4 || !slices.IsSortedFunc(before, func(a, b practice.Student) int { return strings.Compare(a.Name, b.Name) }) {
		t.Fatalf("%d wait, %v", len(before), err)
	}
	grouped := ""
	for _, s := range before {
		if s.Group != "" {
			grouped = s.ID
		}
	}
	r := review(t, b, grouped)
	if r.Draft.Group.Name == "" || len(r.Draft.Group.Shared)+len(r.Draft.Group.Left) == 0 {
		t.Errorf("%s shares nothing: %+v", grouped, r.Draft.Group)
	}
	if _, err := b.HandOver(ctx, owner, grouped, week, r.Wish.Rev, func(*planning.Review, string) string { return "" }); err != nil {
		t.Fatal(err)
	}
	if after, err := b.Waiting(ctx, owner, week); err != nil || len(after) != len(before)-1 {
		t.Errorf("%d wait, %v", len(after), err)
	}
}

func TestTheWeekACoachWorksOn(t *testing.T) {
	for _, c := range []struct{ day, want practice.Date }{{monday, monday}, {monday + 2, monday}, {monday + 3, monday + 7}, {monday + 6, monday + 7}} {
		if got := planning.Next(c.day); got != c.want.Week() {
			t.Errorf("on %s: %s, want %s", c.day, got, c.want.Week())
		}
	}
}

// BenchmarkSolveAgain is what a coach waits for after a change: the standing is
// remembered, the plan is made anew.
func BenchmarkSolveAgain(bm *testing.B) {
	b, _ := millgate(bm)
	review(bm, b, "orla")
	for bm.Loop() {
		review(bm, b, "orla")
	}
}

// A group's week: what is dropped for the group goes from every member's week,
// a member's own wish stays on top, and nobody changes a group they do not
// coach, or one that changed meanwhile.
func TestAGroupIsChanged(t *testing.T) {
	b, _ := millgate(t)
	all, err := b.Groups(ctx, owner)
	if err != nil || len(all) != 1 || all[0] != (planning.GroupSize{Name: "tuesday", Members: 2}) {
		t.Fatalf("%+v, %v", all, err)
	}
	g, err := b.Group(ctx, owner, "tuesday", week)
	if err != nil || len(g.Members) != 2 || len(g.Shared) == 0 {
		t.Fatalf("%+v, %v", g, err)
	}
	drop := g.Members[0].Draft.Group.Shared[0]
	out := func(w *practice.Wish) { w.Bans = append(w.Bans, drop) }
	if err := b.WishForGroup(ctx, owner, "tuesday", week, 0, out); err != nil {
		t.Fatal(err)
	}
	if err := b.WishForGroup(ctx, owner, "tuesday", week, 0, out); !practice.HasCode(err, practice.ChangedSince) {
		t.Errorf("a group that changed meanwhile: %v", err)
	}
	after, err := b.Group(ctx, owner, "tuesday", week)
	if err != nil || after.Wish.Rev != 1 || !slices.Equal(after.Wish.Value.Bans, []string{drop}) {
		t.Fatalf("%+v, %v", after.Wish, err)
	}
	for _, m := range after.Members {
		if slices.Contains(drillsOf(m.Draft.Week), drop) {
			t.Errorf("%s still has %s", m.Subject.Student.ID, drop)
		}
	}
	who := after.Members[0].Subject.Student.ID
	if err := b.Wish(ctx, owner, who, week, 0, func(w *practice.Wish) { w.Locks = []practice.WishLock{{Drill: drop}} }); err != nil {
		t.Fatal(err)
	}
	if r := review(t, b, who); !slices.Contains(drillsOf(r.Draft.Week), drop) {
		t.Errorf("the member's own wish does not go over the group's")
	}
	for group, who := range map[string]practice.Who{"tuesday": joss, "nobodies": owner, "": owner} {
		if _, err := b.Group(ctx, who, group, week); !practice.HasCode(err, practice.NotFound) && !practice.HasCode(err, practice.NotAllowed) {
			t.Errorf("%s of %s: %v", group, who.ID, err)
		}
		if err := b.WishForGroup(ctx, who, group, week, 0, out); err == nil {
			t.Errorf("%s was changed by %s", group, who.ID)
		}
	}
}

// What is wanted of one member's week leaves where they stand, and what the
// group shares, as it was; what is wanted of the group does not.
func TestAMembersWishLeavesTheGroup(t *testing.T) {
	b, s := millgate(t)
	g, err := b.Group(ctx, owner, "tuesday", week)
	if err != nil || len(g.Shared) < 2 {
		t.Fatalf("%+v, %v", g.Shared, err)
	}
	one, drop := g.Members[0].Subject.Student.ID, g.Shared[0]
	before, err := s.Seen(ctx, owner, one)
	if err != nil {
		t.Fatal(err)
	}
	now := func() time.Time { return time.Date(2026, 3, 29, 20, 0, 0, 0, time.UTC) }
	merge := func(own []practice.Drill) *practice.Library { return library.Merge(library.Builtin(), own) }
	looks := desk.New(s, roster.New(s, now, func() string { return "new" }), merge, now)
	if did, err := looks.Refresh(ctx, "millgate", 100); err != nil || did < 2 {
		t.Fatal(did, err)
	}
	out := func(w *practice.Wish) { w.Bans = append(w.Bans, drop) }
	if err := b.Wish(ctx, owner, one, week, 0, out); err != nil {
		t.Fatal(err)
	}
	if after, err := s.Seen(ctx, owner, one); err != nil || after != before {
		t.Errorf("seen up to %d, was %d: %v", after, before, err)
	}
	if did, err := looks.Refresh(ctx, "millgate", 100); err != nil || did != 0 {
		t.Errorf("%d looks are worked out again: %v", did, err)
	}
	if after, err := b.Group(ctx, owner, "tuesday", week); err != nil || !slices.Equal(after.Shared, g.Shared) || slices.Contains(after.Members[0].Draft.Group.Shared, drop) {
		t.Errorf("shared is %v, was %v: %v", after.Shared, g.Shared, err)
	}
	if err := b.WishForGroup(ctx, owner, "tuesday", week, 0, out); err != nil {
		t.Fatal(err)
	}
	if after, err := b.Group(ctx, owner, "tuesday", week); err != nil || slices.Contains(after.Shared, drop) {
		t.Errorf("shared is %v: %v", after.Shared, err)
	}
}
