package planning

import (
	"cmp"
	"context"
	"encoding/json"
	"slices"
	"sync"
	"time"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Store keeps what a review reads and writes. Errors as in practice: not-found,
// changed-since.
type Store interface {
	Studio(ctx context.Context, who practice.Who) (practice.Kept[practice.Studio], error)
	Wishes(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Wish], error)
	PutWish(ctx context.Context, who practice.Who, w practice.Wish, base int64) (int64, error)
	RemoveWish(ctx context.Context, who practice.Who, w practice.Wish) error
	Weeks(ctx context.Context, who practice.Who, student string) ([]practice.Kept[practice.Week], error)
	HandedOver(ctx context.Context, who practice.Who, week practice.ISOWeek) ([]string, error)
	PutWeek(ctx context.Context, who practice.Who, w practice.Week, base int64) (int64, error)
	Seen(ctx context.Context, who practice.Who, student string) (int64, error)
}

// Gate says what somebody may do to a student, and whom they see.
type Gate interface {
	May(ctx context.Context, who practice.Who, do practice.Right, student string) error
	Students(ctx context.Context, who practice.Who) ([]practice.Kept[practice.Student], error)
}

// Records gathers a student with everything a standing is computed from.
type Records interface {
	Subject(ctx context.Context, who practice.Who, studio practice.Studio, student string, day practice.Date) (assess.Subject, error)
}

// Bench is where weeks are made: a draft from a student's standing and the
// coach's wishes, changed by changing the wishes, and handed over.
type Bench struct {
	store   Store
	gate    Gate
	records Records
	budget  time.Duration
	now     func() time.Time
	seed    func() uint64

	mu     sync.Mutex
	worked map[string]worked // by studio and student
	shared map[string]shared // by studio and group
}

// worked is a subject and its standing, as long as nothing changed.
type worked struct {
	day      practice.Date
	seen     int64
	subject  assess.Subject
	standing assess.Standing
	since    Since
}

// shared is the drills of a group's week, as long as no member changed, nor what
// is wanted of groups.
type shared struct {
	day    practice.Date
	seen   int64  // the sum over the members
	wishes string // as JSON
	drills []string
}

// keptSubjects is how many standings the bench remembers.
const keptSubjects = 64

// NewBench is a bench over a store. budget is how long one exact plan may
// search before the best found is taken with its bound; seed makes seeds of
// chance.
func NewBench(store Store, gate Gate, records Records, budget time.Duration, now func() time.Time, seed func() uint64) *Bench {
	return &Bench{store: store, gate: gate, records: records, budget: budget, now: now, seed: seed,
		worked: map[string]worked{}, shared: map[string]shared{}}
}

// Review is one student's week on the bench.
type Review struct {
	Subject  assess.Subject // as of the day before the week, or today where that is later
	Standing assess.Standing
	Since    Since // what changed in the last seven days
	Input    Input
	Draft    Draft
	Wish     practice.Kept[practice.Wish] // the student's for this week; revision 0: none yet
	Handed   []practice.Week              // versions of this week handed over, oldest first
	Last     *practice.Week               // the newest week handed over before it
}

// Next is the week a coach works on at a day: up to Wednesday this one, from
// Thursday on the next.
func Next(day practice.Date) practice.ISOWeek {
	if day.Weekday() <= 2 {
		return day.Week()
	}
	return day.NextMonday().Week()
}

// Today is the day at the studio.
func (b *Bench) Today(ctx context.Context, who practice.Who) (practice.Date, practice.Studio, error) {
	studio, err := b.store.Studio(ctx, who)
	return studio.Value.Zone.At(b.now()).Date(), studio.Value, err
}

// Review drafts the week of a student. leftOut is how many drills left out are
// priced.
func (b *Bench) Review(ctx context.Context, who practice.Who, student string, week practice.ISOWeek, leftOut int) (Review, error) {
	if err := b.gate.May(ctx, who, practice.CoachStudent, student); err != nil {
		return Review{}, err
	}
	today, studio, err := b.Today(ctx, who)
	if err != nil {
		return Review{}, err
	}
	day := min(today, week.Monday()-1) // a week is planned on what was known before it
	w, err := b.work(ctx, who, studio, student, day)
	if err != nil {
		return Review{}, err
	}
	wishes, err := b.store.Wishes(ctx, who)
	if err != nil {
		return Review{}, err
	}
	r := Review{Subject: w.subject, Standing: w.standing, Since: w.since, Wish: wishOf(wishes, practice.Wish{Student: student, Week: &week})}
	all := make([]practice.Wish, len(wishes))
	for i, k := range wishes {
		all[i] = k.Value
	}
	r.Input = forWeek(w, all, week)
	for _, h := range w.subject.Log.Weeks {
		switch {
		case h.ISOWeek == week:
			r.Handed = append(r.Handed, h)
		case h.ISOWeek.Monday() < week.Monday():
			r.Last = &h
		}
	}
	solver := Solver{Budget: b.budget, Now: b.now, LeftOut: leftOut}
	if r.Input.Shared, err = b.share(ctx, who, studio, w, all, week, day, solver); err != nil {
		return Review{}, err
	}
	r.Draft, err = Make(r.Input, solver)
	return r, err
}

func forWeek(w worked, wishes []practice.Wish, week practice.ISOWeek) Input {
	in := For(w.subject.Student, w.standing, w.subject.Library, wishes, w.subject.Log)
	if in.Week != week {
		in.Week = week
		in.Student = moved(w.subject.Student, in.wishes())
	}
	return in
}

// work is the student's standing, remembered as long as nothing changed.
func (b *Bench) work(ctx context.Context, who practice.Who, studio practice.Studio, student string, day practice.Date) (worked, error) {
	key := who.Studio + "/" + student
	seen, err := b.store.Seen(ctx, who, student)
	if err != nil {
		return worked{}, err
	}
	b.mu.Lock()
	w, ok := b.worked[key]
	b.mu.Unlock()
	if ok && w.day == day && w.seen == seen {
		return w, nil
	}
	subject, err := b.records.Subject(ctx, who, studio, student, day)
	if err != nil {
		return worked{}, err
	}
	standing := assess.Stand(subject)
	w = worked{day, seen, subject, standing, since(subject, standing)}
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.worked) >= keptSubjects {
		clear(b.worked)
	}
	b.worked[key] = w
	return w, nil
}

// share is the drills the student's group shares, worked out again when any
// member changed, or what is wanted of a group. What is wanted of one member
// does not change what the others share.
func (b *Bench) share(ctx context.Context, who practice.Who, studio practice.Studio, w worked, wishes []practice.Wish, week practice.ISOWeek,
	day practice.Date, solver Solver) ([]string, error) {
	group := w.subject.Student.Group
	if group == "" {
		return nil, nil
	}
	members, seen, err := b.members(ctx, who, group)
	if err != nil || len(members) < 2 {
		return nil, err
	}
	wanted, err := json.Marshal(forGroups(wishes))
	if err != nil {
		return nil, err
	}
	key := who.Studio + "/" + group + "/" + week.String()
	b.mu.Lock()
	s, ok := b.shared[key]
	b.mu.Unlock()
	if ok && s.day == day && s.seen == seen && s.wishes == string(wanted) {
		return s.drills, nil
	}
	inputs := make([]Input, len(members))
	for i, id := range members {
		m, err := b.work(ctx, who, studio, id, day)
		if err != nil {
			return nil, err
		}
		inputs[i] = forWeek(m, wishes, week)
	}
	drills, err := SharedDrills(inputs, solver)
	if err != nil {
		return nil, err
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if len(b.shared) >= keptSubjects {
		clear(b.shared)
	}
	b.shared[key] = shared{day, seen, string(wanted), drills}
	return drills, nil
}

// members are the members of a group the person may see, and how much of the
// audit trail bears on them.
func (b *Bench) members(ctx context.Context, who practice.Who, group string) (ids []string, seen int64, err error) {
	students, err := b.gate.Students(ctx, who)
	if err != nil {
		return nil, 0, err
	}
	for _, k := range students {
		if k.Value.Group != group || k.Value.ArchivedOn != nil {
			continue
		}
		n, err := b.store.Seen(ctx, who, k.Value.ID)
		if err != nil {
			return nil, 0, err
		}
		ids, seen = append(ids, k.Value.ID), seen+n
	}
	return ids, seen, nil
}

// Wish changes what the coach wants of the student's week since the revision
// base, and keeps it. A wish that asks for nothing any more is taken out.
func (b *Bench) Wish(ctx context.Context, who practice.Who, student string, week practice.ISOWeek, base int64, change func(*practice.Wish)) error {
	if err := b.gate.May(ctx, who, practice.CoachStudent, student); err != nil {
		return err
	}
	return b.wish(ctx, who, practice.Wish{Student: student, Week: &week}, base, change)
}

// wish changes the wish of one student or group for a week.
func (b *Bench) wish(ctx context.Context, who practice.Who, of practice.Wish, base int64, change func(*practice.Wish)) error {
	wishes, err := b.store.Wishes(ctx, who)
	if err != nil {
		return err
	}
	now := wishOf(wishes, of)
	if now.Rev != base {
		return practice.Fault{Code: practice.ChangedSince, Field: "wish", Value: of.Student + of.Group}
	}
	w := now.Value
	w.Locks, w.Bans, w.Cues, w.Moves = slices.Clone(w.Locks), slices.Clone(w.Bans), slices.Clone(w.Cues), slices.Clone(w.Moves)
	change(&w)
	if fs := w.Check(); len(fs) > 0 {
		return practice.Faults(fs)
	}
	if empty(w) {
		if base == 0 {
			return nil
		}
		return b.store.RemoveWish(ctx, who, w)
	}
	_, err = b.store.PutWish(ctx, who, w, base)
	return err
}

// wishOf is the wish of the same student or group and week among them; of
// itself, at revision 0, where there is none yet.
func wishOf(wishes []practice.Kept[practice.Wish], of practice.Wish) practice.Kept[practice.Wish] {
	for _, k := range wishes {
		if k.Value.Student == of.Student && k.Value.Group == of.Group && k.Value.Week != nil && *k.Value.Week == *of.Week {
			return k
		}
	}
	return practice.Kept[practice.Wish]{Value: of}
}

func empty(w practice.Wish) bool {
	return len(w.Locks) == 0 && len(w.Bans) == 0 && len(w.Cues) == 0 && len(w.Moves) == 0 && w.Minutes == nil
}

// HandOver freezes the week as the draft stands at the wish's revision base,
// and keeps it as the next version. why gives the reason of a drill in words.
func (b *Bench) HandOver(ctx context.Context, who practice.Who, student string, week practice.ISOWeek, base int64,
	why func(r *Review, drill string) string) (practice.Week, error) {
	r, err := b.Review(ctx, who, student, week, 0)
	if err != nil {
		return practice.Week{}, err
	}
	if r.Wish.Rev != base {
		return practice.Week{}, practice.Fault{Code: practice.ChangedSince, Field: "week", Value: student}
	}
	_, studio, err := b.Today(ctx, who)
	if err != nil {
		return practice.Week{}, err
	}
	frozen, err := r.Draft.HandOver(studio.Zone.At(b.now()), b.seed(), r.Input.Library, func(drill string) string { return why(&r, drill) })
	if err != nil {
		return practice.Week{}, err
	}
	_, err = b.store.PutWeek(ctx, who, frozen, 0)
	if practice.HasCode(err, practice.ExistsAlready) { // somebody handed the same version over meanwhile
		err = practice.Fault{Code: practice.ChangedSince, Field: "week", Value: student, Err: err}
	}
	return frozen, err
}

// Waiting are the students the person coaches whose week is not handed over, in
// order of name; archived ones and those away the whole week are left out.
func (b *Bench) Waiting(ctx context.Context, who practice.Who, week practice.ISOWeek) ([]practice.Student, error) {
	students, err := b.gate.Students(ctx, who)
	if err != nil {
		return nil, err
	}
	return b.WaitingOf(ctx, who, students, week)
}

// WaitingOf is Waiting of students who were read before.
func (b *Bench) WaitingOf(ctx context.Context, who practice.Who, students []practice.Kept[practice.Student], week practice.ISOWeek) ([]practice.Student, error) {
	handed, err := b.store.HandedOver(ctx, who, week)
	if err != nil {
		return nil, err
	}
	var out []practice.Student
	for _, k := range students {
		s := k.Value
		_, has := slices.BinarySearch(handed, s.ID)
		if !has && (s.ArchivedOn == nil || week.Monday() < *s.ArchivedOn) && !awayAll(s, week) {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b practice.Student) int { return cmp.Compare(a.Name, b.Name) })
	return out, nil
}

func awayAll(s practice.Student, week practice.ISOWeek) bool {
	for day := week.Monday(); day < week.Monday()+7; day++ {
		if !s.AwayOn(day) {
			return false
		}
	}
	return true
}
