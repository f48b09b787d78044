package store

import (
	"context"
	"strconv"

	"aplomb/internal/practice"
)

// Load fills a studio from outside in one transaction: fn hands everything to
// the loader, the studio first and students before what is theirs. An error of
// fn, or one the loader gave, leaves nothing of it. A studio that is there
// already is an exists-already fault.
func (s *Store) Load(ctx context.Context, who practice.Who, fn func(*Loader) error) error {
	return s.change(ctx, who, func(t *tx) error {
		l := &Loader{ctx: ctx, t: t, bulk: newBulk(ctx, t), wishes: map[string]int{}}
		if err := fn(l); err != nil {
			return err
		}
		if l.err != nil {
			return l.err
		}
		return l.end()
	})
}

// Loader takes the values of one studio. After an error it takes nothing more
// and gives that error again.
type Loader struct {
	ctx    context.Context
	t      *tx
	bulk   *bulk
	n      int64 // values so far: the order they came in
	wishes map[string]int
	err    error
}

func (l *Loader) did(err error) error {
	if l.err == nil {
		l.err = err
	}
	return l.err
}

// end writes what is left, and one line of the audit trail.
func (l *Loader) end() error {
	if err := l.bulk.flush(); err != nil {
		return err
	}
	if _, err := l.t.ExecContext(l.ctx, "UPDATE students SET arrived = $2 WHERE studio = $1", l.t.who.Studio, l.n); err != nil {
		return err
	}
	return l.t.record(l.ctx, practice.Change{Act: practice.Imported, Noun: practice.StudioNoun, Key: l.t.who.Studio, Rows: int(l.n)}, side{}, side{})
}

// loadObject keeps a value as new, without a line of its own in the trail.
func loadObject[T any](l *Loader, k *kind[T], id string, v T, extra ...any) error {
	if l.err != nil {
		return l.err
	}
	is, err := k.part(l.t, v, kept[T]{})
	if err != nil {
		return l.did(err)
	}
	l.n++
	is.Rev = 1
	values := k.row(l.t.who.Studio, v, is)
	values[1] = id
	values = append(append(values[:2:2], l.n), values[2:]...)
	columns := append([]string{"studio", "id", "n"}, k.all()...)
	if len(extra) > 0 {
		columns, values = append(columns, "erase_key"), append(values, extra...)
	}
	return l.did(l.bulk.row(k.table, columns, values))
}

func loadRow[T comparable](l *Loader, k *rowKind[T], v T) error {
	if l.err != nil {
		return l.err
	}
	l.n++
	values, err := k.row(l.t, v, l.n)
	if err != nil {
		return l.did(err)
	}
	return l.did(l.bulk.row(k.table, k.all(), values))
}

// Studio begins: whose studio it is goes before everything in it.
func (l *Loader) Studio(v practice.Studio) error {
	if l.err != nil {
		return l.err
	}
	l.t.who.Studio = v.ID
	_, err := find(l.ctx, l.t, studios, v.ID)
	switch {
	case err == nil:
		return l.did(existsAlready(practice.StudioNoun, v.ID))
	case !practice.HasCode(err, practice.NotFound):
		return l.did(err)
	}
	return loadObject(l, studios, v.ID, v)
}

// Student adds a student, and gives it a key to be erased by.
func (l *Loader) Student(v practice.Student) error {
	return loadObject(l, students, v.ID, v, l.t.s.newID())
}

// Wish adds a wish. A second one for the same student or group and week is
// kept beside the first.
func (l *Loader) Wish(v practice.Wish) error {
	key := wishKey(v)
	l.wishes[key]++
	if n := l.wishes[key]; n > 1 {
		key += "#" + strconv.Itoa(n)
	}
	return loadObject(l, wishes, key, v)
}

// Person adds a person.
func (l *Loader) Person(v practice.Person) error { return loadObject(l, people, v.ID, v) }

// Guardian adds a guardian.
func (l *Loader) Guardian(v practice.Guardian) error { return loadObject(l, guardians, v.ID, v) }

// Cover adds a cover.
func (l *Loader) Cover(v practice.Cover) error { return loadObject(l, covers, v.ID, v) }

// Drill adds a drill of the studio's own.
func (l *Loader) Drill(v practice.Drill) error { return loadObject(l, drills, v.ID, v) }

// Week adds a week that was handed over or done; a draft is a contradiction
// fault.
func (l *Loader) Week(v practice.Week) error {
	if l.err == nil {
		l.err = noDraft(v)
	}
	return loadObject(l, weeks, weekKey(v), v)
}

// Attempt adds an attempt.
func (l *Loader) Attempt(v practice.Attempt) error { return loadRow(l, attempts, v) }

// Tally adds a tally.
func (l *Loader) Tally(v practice.Tally) error { return loadRow(l, tallies, v) }

// Session adds a session.
func (l *Loader) Session(v practice.Session) error { return loadRow(l, sessions, v) }

// Probe adds the result of a floor test.
func (l *Loader) Probe(v practice.ProbeResult) error { return loadRow(l, probes, v) }

// Mark adds a mark.
func (l *Loader) Mark(v practice.DrillMark) error { return loadRow(l, marks, v) }

// Words adds words after a set.
func (l *Loader) Words(v practice.SetWords) error { return loadRow(l, setWords, v) }

// Detour adds a detour.
func (l *Loader) Detour(v practice.Detour) error { return loadRow(l, detours, v) }

// Receipt adds what arrived of an entry of a phone.
func (l *Loader) Receipt(v practice.Receipt) error {
	if l.err != nil {
		return l.err
	}
	return l.did(l.bulk.row("receipts", receiptColumns, receiptRow(l.t.who.Studio, v)))
}

// Note adds a note.
func (l *Loader) Note(v practice.Note) error { return loadObject(l, notes, v.ID, v) }

// Decision adds a decision about a notice.
func (l *Loader) Decision(v practice.Decision) error {
	return loadObject(l, decisions, decisions.id(v), v)
}

// Consent adds a consent.
func (l *Loader) Consent(v practice.Consent) error { return loadObject(l, consents, v.ID, v) }

// Change adds a line of the audit trail as it was written elsewhere.
func (l *Loader) Change(c practice.Change) error {
	if l.err != nil {
		return l.err
	}
	before, err := parted(c.Noun, c.Before)
	if err != nil {
		return l.did(err)
	}
	after, err := parted(c.Noun, c.After)
	if err != nil {
		return l.did(err)
	}
	values, err := l.t.line(c, before, after)
	if err != nil {
		return l.did(err)
	}
	l.n++
	return l.did(l.bulk.row("changes", changeColumns, values))
}
