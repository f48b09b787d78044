package store

import (
	"context"
	"strconv"
	"strings"

	"aplomb/internal/practice"
)

var receiptColumns = []string{"studio", "id", "student", "phone", "kind", "n", "gone", "at_ns", "at_off", "shift_s", "alarms"}

func receiptRow(studio string, r practice.Receipt) []any {
	gone := 0
	if r.Gone {
		gone = 1
	}
	return []any{studio, r.ID, r.Student, r.Phone, string(r.Kind), r.N, gone, r.At.UnixNano, r.At.Offset, r.Shift, int(r.Alarms)}
}

// receipts are the receipts of the studio for which where holds.
func (t *tx) receipts(ctx context.Context, where string, args ...any) (out []practice.Receipt, err error) {
	rows, err := t.QueryContext(ctx, "SELECT "+strings.Join(receiptColumns[1:], ", ")+" FROM receipts WHERE studio = $1 "+where,
		append([]any{t.who.Studio}, args...)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	for rows.Next() {
		var r practice.Receipt
		var gone int
		if err := rows.Scan(&r.ID, &r.Student, &r.Phone, (*string)(&r.Kind), &r.N, &gone, &r.At.UnixNano, &r.At.Offset, &r.Shift, (*uint8)(&r.Alarms)); err != nil {
			return nil, err
		}
		r.Gone = gone == 1
		out = append(out, r)
	}
	return out, rows.Err()
}

// Merge lets decide say what is to be kept of the entries with these ids, which
// a phone of the student sent, and keeps it in the same transaction: nobody
// else changes this student meanwhile. An error of decide leaves everything as
// it was.
func (s *Store) Merge(ctx context.Context, who practice.Who, student string, ids []string, decide func(practice.Held) (practice.Batch, error)) error {
	return s.change(ctx, who, func(t *tx) error {
		held, err := t.held(ctx, student, ids)
		if err != nil {
			return err
		}
		batch, err := decide(held)
		if err != nil {
			return err
		}
		return t.keep(ctx, held, batch)
	})
}

// held is what is there; it holds the student's row until the transaction ends.
func (t *tx) held(ctx context.Context, student string, ids []string) (h practice.Held, err error) {
	h = practice.Held{Sealing: t.s.seal != nil, Receipts: map[string]practice.Receipt{}, Tries: map[string]practice.Attempt{}, Taken: map[string]bool{}, Here: map[string]bool{}}
	if _, err := t.arrive(ctx, student, 0); err != nil {
		return h, err
	}
	one, err := find(ctx, t, students, student)
	if err != nil {
		return h, err
	}
	h.Student = one.Kept
	studio, err := find(ctx, t, studios, t.who.Studio)
	if err != nil {
		return h, err
	}
	h.Studio = studio.Value
	given, err := list(ctx, t, consents, "AND student = $2", student)
	if err != nil {
		return h, err
	}
	for _, c := range given {
		h.Consents = append(h.Consents, c.Value)
	}
	if h.Weeks, err = t.named(ctx, "SELECT id FROM weeks WHERE studio = $1 AND student = $2", student); err != nil {
		return h, err
	}
	if h.Drills, err = t.named(ctx, "SELECT id FROM drills WHERE studio = $1"); err != nil {
		return h, err
	}
	return h, t.known(ctx, &h, ids)
}

// idsAtOnce is how many ids one statement asks for.
const idsAtOnce = 100

// known fills in what is there under the ids.
func (t *tx) known(ctx context.Context, h *practice.Held, ids []string) error {
	for len(ids) > 0 {
		some := ids[:min(idsAtOnce, len(ids))]
		ids = ids[len(some):]
		args, places := make([]any, len(some)), make([]string, len(some))
		for i, id := range some {
			args[i], places[i] = id, "$"+strconv.Itoa(i+2)
		}
		among := "AND id IN (" + strings.Join(places, ", ") + ")"
		found, err := t.receipts(ctx, among, args...)
		if err != nil {
			return err
		}
		for _, r := range found {
			h.Receipts[r.ID] = r
		}
		var rows []string
		for _, table := range []string{attempts.table, tallies.table, sessions.table, marks.table, setWords.table, detours.table} {
			rows = append(rows, "SELECT id FROM "+table+" WHERE studio = $1 "+among)
		}
		taken, err := t.named(ctx, strings.Join(rows, " UNION ALL "), args...)
		if err != nil {
			return err
		}
		for id := range taken {
			if err := t.met(ctx, h, id); err != nil {
				return err
			}
		}
	}
	return nil
}

// met notes a row of the log that has the id of an entry.
func (t *tx) met(ctx context.Context, h *practice.Held, id string) error {
	r, ours := h.Receipts[id]
	if !ours || r.N == 0 {
		h.Taken[id] = true
		return nil
	}
	h.Here[id] = true
	if r.Kind != practice.TryEntry {
		return nil
	}
	row, err := findRow(ctx, t, attempts, id)
	h.Tries[id] = row.value
	return err
}

// named is a set of ids.
func (t *tx) named(ctx context.Context, query string, args ...any) (map[string]bool, error) {
	rows, err := t.QueryContext(ctx, query, append([]any{t.who.Studio}, args...)...)
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]bool{}
	for rows.Next() {
		var id string
		if err := rows.Scan(&id); err != nil {
			return nil, err
		}
		out[id] = true
	}
	return out, rows.Err()
}

// keep writes a batch.
func (t *tx) keep(ctx context.Context, h practice.Held, b practice.Batch) error {
	student := h.Student.Value
	if err := ofStudent(student.ID, b.Rows); err != nil {
		return err
	}
	if b.Stop != nil {
		student.Stops = append(student.Stops[:len(student.Stops):len(student.Stops)], *b.Stop)
		if _, err := put(ctx, t, students, student, h.Student.Rev); err != nil {
			return err
		}
	}
	for _, g := range b.Gone {
		if err := t.removeRow(ctx, student.ID, g.Noun, g.ID); err != nil {
			return err
		}
	}
	if err := t.addLog(ctx, student.ID, b.Rows, h.Here); err != nil {
		return err
	}
	return t.receive(ctx, student.ID, b.Receipts)
}

// putReceipt leaves a receipt of another student as it is.
var putReceipt = insertRows("receipts", receiptColumns, 1) + ` ON CONFLICT (studio, id) DO UPDATE SET n = excluded.n, gone = excluded.gone,
	at_ns = excluded.at_ns, at_off = excluded.at_off, shift_s = excluded.shift_s, alarms = excluded.alarms WHERE receipts.student = excluded.student`

func (t *tx) receive(ctx context.Context, student string, receipts []practice.Receipt) error {
	if len(receipts) == 0 {
		return nil
	}
	stmt, err := t.PrepareContext(ctx, putReceipt)
	if err != nil {
		return err
	}
	defer stmt.Close()
	for _, r := range receipts {
		n, err := rowsOf(stmt.ExecContext(ctx, receiptRow(t.who.Studio, r)...))
		if err == nil && (n == 0 || r.Student != student) {
			err = existsAlready("receipt", r.ID)
		}
		if err != nil {
			return err
		}
	}
	return nil
}
