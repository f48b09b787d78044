package store

import (
	"cmp"
	"context"

	"aplomb/internal/practice"
)

// Record is everything kept of how one student does, from one state of the
// database.
type Record struct {
	Student  practice.Kept[practice.Student]
	Log      practice.Log
	Notes    []practice.Note
	Consents []practice.Consent
	// Decisions are what coaches decided about notices.
	Decisions []practice.Decision
	// Receipts are what arrived of the entries of the student's phones.
	Receipts []practice.Receipt
	Sealed   int // private values the key is missing for: they are empty
}

// Record reads one student's full record.
func (s *Store) Record(ctx context.Context, who practice.Who, student string) (r Record, err error) {
	err = s.view(ctx, who, func(t *tx) (err error) {
		r, err = t.wholeRecord(ctx, student)
		return err
	})
	return r, err
}

// Log is what a student logged and the weeks handed over; without the key,
// sessions have no site of pain.
func (s *Store) Log(ctx context.Context, who practice.Who, student string) (l practice.Log, err error) {
	err = s.view(ctx, who, func(t *tx) error {
		r := Record{}
		if _, err := find(ctx, t, students, student); err != nil {
			return err
		}
		err := t.log(ctx, student, &r)
		l = r.Log
		return err
	})
	return l, err
}

func (t *tx) wholeRecord(ctx context.Context, student string) (r Record, err error) {
	one, err := find(ctx, t, students, student)
	if err != nil {
		return r, err
	}
	r.Student = one.Kept
	r.Sealed = ifShut(one.shut)
	written, err := listed(ctx, t, notes, "AND student = $2", student)
	if err != nil {
		return r, err
	}
	for _, n := range written {
		r.Notes = append(r.Notes, n.Value)
		r.Sealed += ifShut(n.shut)
	}
	given, err := list(ctx, t, consents, "AND student = $2", student)
	if err != nil {
		return r, err
	}
	for _, c := range given {
		r.Consents = append(r.Consents, c.Value)
	}
	decided, err := list(ctx, t, decisions, "AND student = $2", student)
	if err != nil {
		return r, err
	}
	for _, d := range decided {
		r.Decisions = append(r.Decisions, d.Value)
	}
	if r.Receipts, err = t.receipts(ctx, "AND student = $2 ORDER BY id", student); err != nil {
		return r, err
	}
	return r, t.log(ctx, student, &r)
}

func ifShut(shut bool) int {
	if shut {
		return 1
	}
	return 0
}

// log reads the log and the weeks into r.
func (t *tx) log(ctx context.Context, student string, r *Record) (err error) {
	if r.Log.Attempts, _, err = rowsOfStudent(ctx, t, attempts, student); err != nil {
		return err
	}
	if r.Log.Tallies, _, err = rowsOfStudent(ctx, t, tallies, student); err != nil {
		return err
	}
	shut := 0
	if r.Log.Sessions, shut, err = rowsOfStudent(ctx, t, sessions, student); err != nil {
		return err
	}
	r.Sealed += shut
	if r.Log.Probes, _, err = rowsOfStudent(ctx, t, probes, student); err != nil {
		return err
	}
	if r.Log.Marks, _, err = rowsOfStudent(ctx, t, marks, student); err != nil {
		return err
	}
	if r.Log.Words, _, err = rowsOfStudent(ctx, t, setWords, student); err != nil {
		return err
	}
	if r.Log.Detours, _, err = rowsOfStudent(ctx, t, detours, student); err != nil {
		return err
	}
	written, err := list(ctx, t, weeks, "AND student = $2", student)
	for _, w := range written {
		r.Log.Weeks = append(r.Log.Weeks, w.Value)
	}
	r.Log.Sort()
	return err
}

// AddLog keeps rows of a student's log; a phone may send the same again. A row
// that is there already is nothing new, one that is there with other contents
// is changed, with both in the audit trail. An id another student has is an
// exists-already fault, and then nothing is kept. Weeks are put by PutWeek.
func (s *Store) AddLog(ctx context.Context, who practice.Who, student string, rows practice.Log) error {
	if len(rows.Weeks) > 0 {
		panic("store: a week is kept by PutWeek")
	}
	if err := ofStudent(student, rows); err != nil {
		return err
	}
	return s.change(ctx, who, func(t *tx) error { return t.addLog(ctx, student, rows, nil) })
}

// addLog keeps rows; here is as in addRows.
func (t *tx) addLog(ctx context.Context, student string, rows practice.Log, here map[string]bool) error {
	for _, add := range []func() error{
		func() error { return addRows(ctx, t, attempts, student, rows.Attempts, here) },
		func() error { return addRows(ctx, t, tallies, student, rows.Tallies, here) },
		func() error { return addRows(ctx, t, sessions, student, rows.Sessions, here) },
		func() error { return addRows(ctx, t, probes, student, rows.Probes, here) },
		func() error { return addRows(ctx, t, marks, student, rows.Marks, here) },
		func() error { return addRows(ctx, t, setWords, student, rows.Words, here) },
		func() error { return addRows(ctx, t, detours, student, rows.Detours, here) },
	} {
		if err := add(); err != nil {
			return err
		}
	}
	return nil
}

// ofStudent refuses rows that say they are another's.
func ofStudent(student string, rows practice.Log) error {
	for _, other := range []string{
		stranger(attempts, student, rows.Attempts), stranger(tallies, student, rows.Tallies), stranger(sessions, student, rows.Sessions),
		stranger(probes, student, rows.Probes), stranger(marks, student, rows.Marks), stranger(setWords, student, rows.Words),
		stranger(detours, student, rows.Detours),
	} {
		if other != "" {
			return practice.Fault{Code: practice.Contradiction, Field: "student", Value: practice.Short(other), Want: student}
		}
	}
	return nil
}

// stranger is another student one of the rows names, empty where none does.
func stranger[T comparable](k *rowKind[T], student string, rows []T) string {
	for i := range rows {
		if other := *k.key(&rows[i]).student; other != student {
			return cmp.Or(other, "?")
		}
	}
	return ""
}

// RemoveRow takes one row out of a student's log: an attempt, a tally, a
// session, a probe, a mark, words after a set or a detour.
func (s *Store) RemoveRow(ctx context.Context, who practice.Who, student string, noun practice.Noun, id string) error {
	return s.change(ctx, who, func(t *tx) error { return t.removeRow(ctx, student, noun, id) })
}

func (t *tx) removeRow(ctx context.Context, student string, noun practice.Noun, id string) error {
	switch noun {
	case practice.AttemptNoun:
		return removeRow(ctx, t, attempts, student, id)
	case practice.TallyNoun:
		return removeRow(ctx, t, tallies, student, id)
	case practice.SessionNoun:
		return removeRow(ctx, t, sessions, student, id)
	case practice.ProbeNoun:
		return removeRow(ctx, t, probes, student, id)
	case practice.MarkNoun:
		return removeRow(ctx, t, marks, student, id)
	case practice.WordsNoun:
		return removeRow(ctx, t, setWords, student, id)
	case practice.DetourNoun:
		return removeRow(ctx, t, detours, student, id)
	}
	panic("store: " + string(noun) + " is no row of the log")
}
