package storetest

import (
	"cmp"
	"encoding/json"
	"reflect"
	"slices"

	"pgregory.net/rapid"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// Everything is all a studio keeps, to be compared.
type Everything struct {
	Studio    practice.Studio
	People    []practice.Person
	Guardians []practice.Guardian
	Covers    []practice.Cover
	Drills    []practice.Drill
	Wishes    []practice.Wish
	Students  []practice.Student
	Records   []Rest // of each student
	Trail     []practice.Change
}

// Rest is a student's record but for the student.
type Rest struct {
	Log       practice.Log
	Notes     []practice.Note
	Consents  []practice.Consent
	Decisions []practice.Decision
	Receipts  []practice.Receipt
}

// ReadAll reads everything of a studio from one state.
func ReadAll(s *store.Store, who practice.Who) (e Everything, err error) {
	err = s.Snapshot(ctx, who, func(v *store.Snapshot) (err error) {
		for _, read := range []func() error{
			func() error { e.Studio, err = v.Studio(); return err },
			func() error { e.People, err = v.People(); return err },
			func() error { e.Guardians, err = v.Guardians(); return err },
			func() error { e.Covers, err = v.Covers(); return err },
			func() error { e.Drills, err = v.Drills(); return err },
			func() error { e.Wishes, err = v.Wishes(); return err },
			func() error { e.Students, err = v.Students(); return err },
			func() error {
				return v.Trail(func(c practice.Change) error { e.Trail = append(e.Trail, c); return nil })
			},
		} {
			if err := read(); err != nil {
				return err
			}
		}
		for _, student := range e.Students {
			r, err := v.Record(student.ID)
			if err != nil {
				return err
			}
			e.Records = append(e.Records, Rest{r.Log, r.Notes, r.Consents, r.Decisions, r.Receipts})
		}
		return nil
	})
	return e, err
}

// Into hands everything to a loader.
func (e Everything) Into(l *store.Loader) error {
	err := l.Studio(e.Studio)
	err = each(err, e.People, l.Person)
	err = each(err, e.Guardians, l.Guardian)
	err = each(err, e.Covers, l.Cover)
	err = each(err, e.Drills, l.Drill)
	err = each(err, e.Students, l.Student)
	err = each(err, e.Wishes, l.Wish)
	for _, r := range e.Records {
		err = each(err, r.Log.Weeks, l.Week)
		err = each(err, r.Log.Attempts, l.Attempt)
		err = each(err, r.Log.Tallies, l.Tally)
		err = each(err, r.Log.Sessions, l.Session)
		err = each(err, r.Log.Probes, l.Probe)
		err = each(err, r.Log.Marks, l.Mark)
		err = each(err, r.Log.Words, l.Words)
		err = each(err, r.Log.Detours, l.Detour)
		err = each(err, r.Receipts, l.Receipt)
		err = each(err, r.Notes, l.Note)
		err = each(err, r.Consents, l.Consent)
		err = each(err, r.Decisions, l.Decision)
	}
	return each(err, e.Trail, l.Change)
}

func each[T any](err error, list []T, add func(T) error) error {
	for _, v := range list {
		if err != nil {
			return err
		}
		err = add(v)
	}
	return err
}

// drawn fills every field of every noun there is or will be; what it draws need
// not make sense, only come back as it was.
var drawn = rapid.MakeConfig{
	Types: map[reflect.Type]*rapid.Generator[any]{
		reflect.TypeFor[practice.Instant](): rapid.Custom(func(t *rapid.T) practice.Instant {
			return practice.Instant{UnixNano: rapid.Int64Range(-2e18, 7e18).Draw(t, "ns"), Offset: rapid.Int16Range(-1439, 1439).Draw(t, "off")}
		}).AsAny(),
		reflect.TypeFor[practice.Date](): rapid.Map(rapid.Int32Range(-25000, 80000), func(d int32) practice.Date { return practice.Date(d) }).AsAny(),
		reflect.TypeFor[practice.ISOWeek](): rapid.Map(rapid.Int32Range(-25000, 80000), func(d int32) practice.ISOWeek {
			return practice.Date(d).Week()
		}).AsAny(),
		reflect.TypeFor[practice.Weekday](): rapid.Map(rapid.IntRange(0, 6), func(d int) practice.Weekday { return practice.Weekday(d) }).AsAny(),
		reflect.TypeFor[practice.Zone](): rapid.Map(rapid.SampledFrom([]string{"UTC", "Europe/London", "Asia/Kathmandu"}), func(name string) practice.Zone {
			z, _ := practice.ParseZone(name)
			return z
		}).AsAny(),
		reflect.TypeFor[practice.Maybe[practice.Weekday]](): maybe(rapid.Map(rapid.IntRange(0, 6), func(d int) practice.Weekday { return practice.Weekday(d) })),
		reflect.TypeFor[practice.Maybe[float64]]():          maybe(rapid.SampledFrom(reals)),
		reflect.TypeFor[practice.Maybe[int]]():              maybe(rapid.IntRange(0, 500)),
		reflect.TypeFor[practice.Maybe[bool]]():             maybe(rapid.Bool()),
		reflect.TypeFor[json.RawMessage]():                  rapid.SampledFrom([]json.RawMessage{nil, json.RawMessage(`{"b":1,"a":"<&>"}`)}).AsAny(),
		reflect.TypeFor[*practice.Figure]():                 rapid.Just[*practice.Figure](nil).AsAny(),
	},
	Kinds: map[reflect.Kind]*rapid.Generator[any]{
		reflect.String:  rapid.SampledFrom([]string{"", "a", "Ä 漢\n\"quoted\"", `\ufffd %s $1 '); --`, "\u2028<b>&\U0001F938", "�"}).AsAny(),
		reflect.Float64: rapid.SampledFrom(reals).AsAny(),
		reflect.Int:     rapid.IntRange(0, 500).AsAny(),
	},
}

var reals = []float64{0, 1, 0.1, 2.5, -3.25, 1e-9, 0.30000000000000004, 123456789.123, 1e21}

func maybe[T any](known *rapid.Generator[T]) *rapid.Generator[any] {
	return rapid.OneOf(rapid.Just(practice.Maybe[T]{}), rapid.Map(known, practice.Known[T])).AsAny()
}

func few[T any](t *rapid.T, most int) []T {
	return rapid.SliceOfN(rapid.MakeCustom[T](drawn), 0, most).Draw(t, "some")
}

// drawEverything draws a studio of that name.
func drawEverything(t *rapid.T, studio string) (e Everything) {
	e.Studio = rapid.MakeCustom[practice.Studio](drawn).Draw(t, "studio")
	e.Studio.ID = studio
	e.People, e.Guardians, e.Covers = few[practice.Person](t, 2), few[practice.Guardian](t, 2), few[practice.Cover](t, 2)
	e.Drills, e.Wishes, e.Students = few[practice.Drill](t, 1), few[practice.Wish](t, 2), few[practice.Student](t, 2)
	number(e.People, func(p *practice.Person, id string) { p.ID, p.Email = id, p.Email+id })
	number(e.Guardians, func(g *practice.Guardian, id string) { g.ID = id })
	number(e.Covers, func(c *practice.Cover, id string) { c.ID = id })
	number(e.Drills, func(d *practice.Drill, id string) { d.ID = id })
	number(e.Students, func(s *practice.Student, id string) { s.ID = id })
	number(e.Wishes, func(w *practice.Wish, _ string) {
		if w.Student = ""; len(e.Students) > 0 && w.Group != "" {
			w.Student = e.Students[0].ID
		}
	})
	for _, s := range e.Students {
		e.Records = append(e.Records, drawRest(t, s.ID))
	}
	e.Trail = few[practice.Change](t, 4)
	number(e.Trail, func(c *practice.Change, id string) {
		c.ID = id
		c.Noun = rapid.SampledFrom(practice.Nouns).Draw(t, "noun")
	})
	return e
}

func drawRest(t *rapid.T, student string) (r Rest) {
	r.Log = practice.Log{Attempts: few[practice.Attempt](t, 4), Tallies: few[practice.Tally](t, 2), Sessions: few[practice.Session](t, 2),
		Probes: few[practice.ProbeResult](t, 2), Marks: few[practice.DrillMark](t, 2), Words: few[practice.SetWords](t, 2),
		Detours: few[practice.Detour](t, 2), Weeks: few[practice.Week](t, 2)}
	r.Notes, r.Consents, r.Decisions = few[practice.Note](t, 3), few[practice.Consent](t, 2), few[practice.Decision](t, 2)
	r.Receipts = few[practice.Receipt](t, 2)
	number(r.Log.Attempts, func(v *practice.Attempt, id string) { v.ID, v.Student = id, student })
	number(r.Log.Tallies, func(v *practice.Tally, id string) { v.ID, v.Student = id, student })
	number(r.Log.Sessions, func(v *practice.Session, id string) { v.ID, v.Student = id, student })
	number(r.Log.Probes, func(v *practice.ProbeResult, id string) { v.ID, v.Student = id, student })
	number(r.Log.Marks, func(v *practice.DrillMark, id string) { v.ID, v.Student = id, student })
	number(r.Log.Words, func(v *practice.SetWords, id string) { v.ID, v.Student = id, student })
	number(r.Log.Detours, func(v *practice.Detour, id string) { v.ID, v.Student = id, student })
	number(r.Receipts, func(v *practice.Receipt, id string) { v.ID, v.Student = id, student })
	slices.SortFunc(r.Receipts, func(a, b practice.Receipt) int { return cmp.Compare(a.ID, b.ID) })
	number(r.Consents, func(v *practice.Consent, id string) { v.ID, v.Student = id, student })
	number(r.Decisions, func(v *practice.Decision, id string) { v.Student, v.Kind = student, id })
	number(r.Notes, func(v *practice.Note, id string) {
		v.ID, v.Student, v.Kind = id, student, rapid.SampledFrom(practice.NoteKinds).Draw(t, "kind")
	})
	slices.SortStableFunc(r.Notes, func(a, b practice.Note) int {
		return cmp.Or(cmp.Compare(a.At.UnixNano, b.At.UnixNano), cmp.Compare(a.ID, b.ID))
	})
	number(r.Log.Weeks, func(v *practice.Week, _ string) {
		v.Student, v.Status = student, rapid.SampledFrom(practice.WeekStatuses[1:]).Draw(t, "status")
	})
	for i := range r.Log.Weeks {
		r.Log.Weeks[i].Version = i + 1
	}
	r.Log.Sort()
	return r
}

// number gives every value an id no other has.
func number[T any](list []T, set func(*T, string)) {
	for i := range list {
		set(&list[i], NewID())
	}
}
