package desk

import (
	"context"
	"slices"
	"time"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Looks keeps what was worked out, and says what it was worked out from.
type Looks interface {
	Look(ctx context.Context, who practice.Who, student string) (practice.Look, error)
	Looks(ctx context.Context, who practice.Who) ([]practice.Look, error)
	PutLook(ctx context.Context, who practice.Who, l practice.Look) error
	Stale(ctx context.Context, who practice.Who, day practice.Date, most int) ([]string, error)
	Seen(ctx context.Context, who practice.Who, student string) (int64, error)
	Studio(ctx context.Context, who practice.Who) (practice.Kept[practice.Studio], error)
	Log(ctx context.Context, who practice.Who, student string) (practice.Log, error)
	Student(ctx context.Context, who practice.Who, id string) (practice.Kept[practice.Student], error)
	Drills(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Drill], error)
}

// Decisions keeps what was decided about notices.
type Decisions interface {
	Decisions(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Decision], error)
	PutDecision(ctx context.Context, who practice.Who, d practice.Decision) error
	RemoveDecision(ctx context.Context, who practice.Who, student, kind string) error
}

// Lore keeps what was learned across a studio's students.
type Lore interface {
	Lore(ctx context.Context, who practice.Who) (practice.Lore, error)
	PutLore(ctx context.Context, who practice.Who, l practice.Lore) error
	Students(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Student], error)
}

// Store is all a desk needs.
type Store interface {
	Looks
	Decisions
	Lore
}

// Roster says whom somebody may see and what they may do there.
type Roster interface {
	Students(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Student], error)
	May(ctx context.Context, who practice.Who, do practice.Right, student string) error
}

// Desk is the notices of the studios of one store.
type Desk struct {
	store  Store
	roster Roster
	// merge joins the built-in library with a studio's own drills.
	merge func(own []practice.Drill) *practice.Library
	now   func() time.Time
}

// New is a desk over a store.
func New(store Store, roster Roster, merge func(own []practice.Drill) *practice.Library, now func() time.Time) *Desk {
	return &Desk{store, roster, merge, now}
}

// Today is the desk of one person on one day.
type Today struct {
	Day      practice.Date
	Students []practice.Kept[practice.Student] // those the person may see, archived ones left out
	Archived []practice.Kept[practice.Student] // those the person may see who are out of sight
	Looks    map[string]Brief                  // by student, where there is one
	Notices  Ranked
	Muted    []practice.Decision // that keep something of the students off the desk for good
	Waiting  int                 // students whose look is missing, or of an earlier day
}

// Today gathers the desk. It works nothing out: what is not worked out yet is
// counted in Waiting.
func (d *Desk) Today(ctx context.Context, who practice.Who) (Today, error) {
	studio, err := d.store.Studio(ctx, who)
	if err != nil {
		return Today{}, err
	}
	t := Today{Day: studio.Value.Zone.At(d.now()).Date(), Looks: map[string]Brief{}}
	all, err := d.roster.Students(ctx, who)
	if err != nil {
		return Today{}, err
	}
	for _, k := range all {
		if at := k.Value.ArchivedOn; at != nil && *at <= t.Day {
			t.Archived = append(t.Archived, k)
		} else {
			t.Students = append(t.Students, k)
		}
	}
	looks, err := d.store.Looks(ctx, who)
	if err != nil {
		return Today{}, err
	}
	decisions, err := d.store.Decisions(ctx, who)
	if err != nil {
		return Today{}, err
	}
	return t, t.fill(looks, decisions)
}

func (t *Today) fill(looks []practice.Look, decisions []practice.Kept[practice.Decision]) error {
	at := map[string]practice.Look{}
	for _, l := range looks {
		at[l.Student] = l
	}
	var notices []Notice
	mine := map[string]bool{}
	for _, s := range t.Students {
		mine[s.Value.ID] = true
		kept, ok := at[s.Value.ID]
		if !ok || kept.AsOf < t.Day {
			t.Waiting++
		}
		if !ok {
			continue
		}
		b, err := parse[Brief](kept.Brief)
		if err != nil {
			return err
		}
		t.Looks[s.Value.ID] = b
		notices = append(notices, b.Notices...)
	}
	decided := make([]practice.Decision, len(decisions))
	for i, k := range decisions {
		decided[i] = k.Value
		if mine[k.Value.Student] && k.Value.Answer == practice.AnswerMuted {
			t.Muted = append(t.Muted, k.Value)
		}
	}
	t.Notices = Rank(notices, decided, t.Day, Cap)
	return nil
}

// Of is one student's look, worked out now where it is not fresh.
func (d *Desk) Of(ctx context.Context, who practice.Who, student string) (Look, error) {
	if err := d.roster.May(ctx, who, practice.SeeStudent, student); err != nil {
		return Look{}, err
	}
	studio, err := d.store.Studio(ctx, who)
	if err != nil {
		return Look{}, err
	}
	day := studio.Value.Zone.At(d.now()).Date()
	seen, err := d.store.Seen(ctx, who, student)
	if err != nil {
		return Look{}, err
	}
	kept, err := d.store.Look(ctx, who, student)
	switch {
	case err == nil && kept.AsOf == day && kept.Seen >= seen:
		return parse[Look](kept.Doc)
	case err != nil && !practice.HasCode(err, practice.NotFound):
		return Look{}, err
	}
	return d.work(ctx, who, studio.Value, student, day)
}

// Refresh works out up to most looks of a studio that are not fresh, and says
// how many it did.
func (d *Desk) Refresh(ctx context.Context, studio string, most int) (int, error) {
	who := practice.Who{Studio: studio, ID: string(practice.AtTheDesk), Role: practice.AtTheDesk}
	kept, err := d.store.Studio(ctx, who)
	if err != nil {
		return 0, err
	}
	day := kept.Value.Zone.At(d.now()).Date()
	stale, err := d.store.Stale(ctx, who, day, most)
	if err != nil {
		return 0, err
	}
	for i, id := range stale {
		if _, err := d.work(ctx, who, kept.Value, id, day); err != nil && !practice.HasCode(err, practice.NotFound) {
			return i, err // a student erased meanwhile is no error
		}
	}
	return len(stale), nil
}

// work works one look out and keeps it. What it has seen is read before the
// record: a change in between makes it work again, never the other way.
func (d *Desk) work(ctx context.Context, who practice.Who, studio practice.Studio, student string, day practice.Date) (Look, error) {
	seen, err := d.store.Seen(ctx, who, student)
	if err != nil {
		return Look{}, err
	}
	subject, err := d.Subject(ctx, who, studio, student, day)
	if err != nil {
		return Look{}, err
	}
	l := Work(subject)
	kept, err := l.kept(student, day, seen)
	if err != nil {
		return Look{}, err
	}
	return l, d.store.PutLook(ctx, who, kept)
}

// Subject is a student with everything a standing is computed from; rights are
// the caller's to ask for.
func (d *Desk) Subject(ctx context.Context, who practice.Who, studio practice.Studio, student string, day practice.Date) (assess.Subject, error) {
	kept, err := d.store.Student(ctx, who, student)
	if err != nil {
		return assess.Subject{}, err
	}
	log, err := d.store.Log(ctx, who, student)
	if err != nil {
		return assess.Subject{}, err
	}
	log.Sort()
	lib, err := d.Library(ctx, who)
	if err != nil {
		return assess.Subject{}, err
	}
	milestones := studio.MilestonesS
	if len(milestones) == 0 {
		milestones = practice.DefaultMilestonesS
	}
	return assess.Subject{Student: kept.Value, Zone: studio.Zone, Log: &log, Library: lib, Milestones: milestones, AsOf: day}, nil
}

// Library is the built-in library with the studio's own drills.
func (d *Desk) Library(ctx context.Context, who practice.Who) (*practice.Library, error) {
	own, err := d.store.Drills(ctx, who)
	if err != nil {
		return nil, err
	}
	drills := make([]practice.Drill, len(own))
	for i, k := range own {
		drills[i] = k.Value
	}
	return d.merge(drills), nil
}

// Decide keeps what a coach decided about a notice that is there; the time and
// the decider are set here. Pain cannot be muted.
func (d *Desk) Decide(ctx context.Context, who practice.Who, decision practice.Decision) error {
	if err := d.roster.May(ctx, who, practice.CoachStudent, decision.Student); err != nil {
		return err
	}
	studio, err := d.store.Studio(ctx, who)
	if err != nil {
		return err
	}
	decision.By, decision.At = who.ID, studio.Value.Zone.At(d.now())
	fs := decision.Check()
	if kind := Kind(decision.Kind); !slices.Contains(Kinds, kind) || decision.Answer == practice.AnswerMuted && !kind.Mutable() {
		fs = append(fs, practice.Fault{Code: practice.Contradiction, Field: "kind", Value: practice.Short(decision.Kind), Want: "a notice that may be muted: pain may not"})
	}
	if len(fs) > 0 {
		return practice.Faults(fs)
	}
	return d.store.PutDecision(ctx, who, decision)
}

// Undo takes a decision back.
func (d *Desk) Undo(ctx context.Context, who practice.Who, student, kind string) error {
	if err := d.roster.May(ctx, who, practice.CoachStudent, student); err != nil {
		return err
	}
	return d.store.RemoveDecision(ctx, who, student, kind)
}
