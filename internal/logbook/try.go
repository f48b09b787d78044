package logbook

import "aplomb/internal/practice"

type tryBody struct {
	Session string   `json:"session"`
	Drill   string   `json:"drill"`
	Item    string   `json:"item"`
	Set     int      `json:"set"`
	Rep     int      `json:"rep"`
	Entry   string   `json:"entry"`
	Support string   `json:"support"`
	Surface string   `json:"surface"`
	Passed  *bool    `json:"passed"`
	Seconds *float64 `json:"seconds"`
	Timed   string   `json:"timed"`
	End     string   `json:"end"`
	Cold    *bool    `json:"cold"`
	Note    string   `json:"note"`
}

type tryRow struct{ practice.Attempt }

func (b *tryBody) row(id, student string) (row, []practice.Fault) {
	var w words
	w.text("note", b.Note)
	return &tryRow{practice.Attempt{ID: id, Student: student, Session: b.Session, Item: b.Item, Drill: b.Drill, Set: b.Set, Rep: b.Rep,
		Entry: word(&w, "entry", practice.Entries, b.Entry), Support: word(&w, "support", practice.Supports, b.Support),
		Surface: word(&w, "surface", practice.Surfaces, b.Surface), Passed: maybe(b.Passed), Seconds: maybe(b.Seconds),
		Timed: word(&w, "timed", practice.Timings, b.Timed), End: word(&w, "end", practice.Ends, b.End), Cold: maybe(b.Cold), Note: b.Note}}, w.faults
}

func (r *tryRow) check() []practice.Fault { return r.Check() }

func (r *tryRow) drills() []named { return []named{{"drill", r.Drill}} }

func (r *tryRow) put(l *practice.Log, at practice.Instant) {
	r.At = at
	l.Attempts = append(l.Attempts, r.Attempt)
}

// seen keeps what others know of the try: where it was, and that it was watched
// or filmed, as long as it is told as it was then.
func (r *tryRow) seen(was practice.Attempt, at practice.Instant) {
	r.Place = was.Place
	now := r.Attempt
	now.At, now.Witness, now.Note, now.Set, now.Rep, now.Session, now.Item = at, was.Witness, was.Note, was.Set, was.Rep, was.Session, was.Item
	if now == was {
		r.Witness = was.Witness
	}
}

type tallyBody struct {
	Session    string   `json:"session"`
	Drill      string   `json:"drill"`
	Item       string   `json:"item"`
	Set        int      `json:"set"`
	Entry      string   `json:"entry"`
	Support    string   `json:"support"`
	Surface    string   `json:"surface"`
	Tries      int      `json:"tries"`
	Caught     *int     `json:"caught"`
	Best       *float64 `json:"best"`
	SecondBest *float64 `json:"second_best"`
	Timed      string   `json:"timed"`
	Note       string   `json:"note"`
}

type tallyRow struct{ practice.Tally }

func (b *tallyBody) row(id, student string) (row, []practice.Fault) {
	var w words
	w.text("note", b.Note)
	return &tallyRow{practice.Tally{ID: id, Student: student, Session: b.Session, Item: b.Item, Drill: b.Drill, Set: b.Set,
		Entry: word(&w, "entry", practice.Entries, b.Entry), Support: word(&w, "support", practice.Supports, b.Support),
		Surface: word(&w, "surface", practice.Surfaces, b.Surface), Tries: b.Tries, Caught: maybe(b.Caught), Best: maybe(b.Best),
		SecondBest: maybe(b.SecondBest), Timed: word(&w, "timed", practice.Timings, b.Timed), Note: b.Note}}, w.faults
}

func (r *tallyRow) check() []practice.Fault { return r.Check() }

func (r *tallyRow) drills() []named { return []named{{"drill", r.Drill}} }

func (r *tallyRow) put(l *practice.Log, at practice.Instant) {
	r.At = at
	l.Tallies = append(l.Tallies, r.Tally)
}
