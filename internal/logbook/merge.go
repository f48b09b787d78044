package logbook

import (
	"fmt"
	"hash/fnv"
	"maps"
	"slices"

	"aplomb/internal/practice"
)

// merge is one parcel on its way into the log.
type merge struct {
	held    practice.Held
	logbook *Logbook
	phone   string
	sentAt  practice.Instant // by the phone's clock
	now     practice.Instant
	rows    map[string]placed // by entry; nil row: taken back
	changed map[string]bool   // receipts that are to be written
	order   []string          // entries of rows as they came
	stop    *practice.Stop
	answer  Answer
}

// placed is a row with its time; no row where it was taken back.
type placed struct {
	row  row
	at   practice.Instant
	kind practice.EntryKind
}

func newMerge(held practice.Held, l *Logbook, p Parcel) *merge {
	return &merge{held: held, logbook: l, phone: p.Phone, sentAt: p.Now, now: practice.Zone{}.At(l.now()),
		rows: map[string]placed{}, changed: map[string]bool{}}
}

// take takes in one entry. Where several versions of it are in the parcel, the
// last one wins, whatever their order.
func (m *merge) take(r reading) {
	receipt, known := m.held.Receipts[r.ID]
	if f := m.stranger(r, receipt, known); f != nil {
		m.refuse(r, *f)
		return
	}
	if len(r.faults) > 0 && (!practice.ValidID(r.ID) || r.kind == "" || r.at == (practice.Instant{})) {
		m.refuse(r, r.faults[0])
		return
	}
	if !known {
		receipt = practice.Receipt{ID: r.ID, Student: m.held.Student.Value.ID, Phone: m.phone, Kind: r.kind, At: r.at, Shift: shiftOf(r.at, m.sentAt, m.now)}
	}
	at := moved(r.at, receipt.Shift)
	m.care(r, &receipt, at)
	if f := m.fault(r, at); f != nil {
		m.refuse(r, *f)
		return
	}
	if r.N > receipt.N {
		receipt.N, receipt.Gone, receipt.At = r.N, r.gone, r.at
		m.write(receipt)
		m.place(r, at)
	}
	m.answer.Kept = append(m.answer.Kept, r.Version)
}

// stranger is the fault of an entry whose id is something else's, or nil.
func (m *merge) stranger(r reading, receipt practice.Receipt, known bool) *practice.Fault {
	switch {
	case m.held.Taken[r.ID], known && (receipt.Student != m.held.Student.Value.ID || receipt.Phone != m.phone):
		return &practice.Fault{Code: practice.RepeatedID, Field: "id", Value: r.ID}
	case known && r.kind != "" && receipt.Kind != r.kind:
		return &practice.Fault{Code: practice.Contradiction, Field: "kind", Value: string(r.kind), Want: string(receipt.Kind)}
	}
	return nil
}

// fault is what keeps the entry out, or nil.
func (m *merge) fault(r reading, at practice.Instant) *practice.Fault {
	if len(r.faults) > 0 {
		return &r.faults[0]
	}
	if f := timely(at, m.now); f != nil || r.row == nil {
		return f
	}
	for _, d := range r.row.drills() {
		if _, ok := m.logbook.builtin.Drill(d.id); !ok && !m.held.Drills[d.id] {
			return &practice.Fault{Code: practice.UnknownID, Field: d.field, Value: d.id}
		}
	}
	return nil
}

func (m *merge) refuse(r reading, f practice.Fault) {
	m.answer.Refused = append(m.answer.Refused, Said{r.Version, f})
}

func (m *merge) write(r practice.Receipt) {
	m.held.Receipts[r.ID] = r
	m.changed[r.ID] = true
}

// place puts the entry in the place of an earlier version of it.
func (m *merge) place(r reading, at practice.Instant) {
	if _, again := m.rows[r.ID]; !again {
		m.order = append(m.order, r.ID)
	}
	switch row := r.row.(type) {
	case *sessionRow:
		kept := *row
		for _, f := range kept.leave(&m.held) {
			m.answer.LeftOut = append(m.answer.LeftOut, Said{r.Version, f})
		}
		r.row = &kept
	case *tryRow:
		kept := *row
		if was, ok := m.held.Tries[r.ID]; ok {
			kept.seen(was, at)
		}
		r.row = &kept
	}
	m.rows[r.ID] = placed{r.row, at, r.kind}
}

// batch is what is to be kept of it all.
func (m *merge) batch() practice.Batch {
	b := practice.Batch{Stop: m.stop}
	for _, id := range m.order {
		switch p := m.rows[id]; {
		case p.row != nil:
			p.row.put(&b.Rows, p.at)
		case m.held.Here[id]:
			b.Gone = append(b.Gone, practice.GoneRow{Noun: p.kind.Noun(), ID: id})
		}
	}
	for _, id := range slices.Sorted(maps.Keys(m.changed)) {
		b.Receipts = append(b.Receipts, m.held.Receipts[id])
	}
	return b
}

// plan is the mark of what the student may train: of the weeks handed over and
// of the student, stops among it.
func (m *merge) plan() string {
	h := fnv.New64a()
	rev := m.held.Student.Rev
	if m.stop != nil {
		rev++
	}
	fmt.Fprintln(h, rev, slices.Sorted(maps.Keys(m.held.Weeks)), m.held.Student.Value.ID)
	return fmt.Sprintf("%016x", h.Sum64())
}
