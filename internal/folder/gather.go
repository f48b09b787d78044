package folder

import "aplomb/internal/practice"

// gather is the sink that keeps everything in a [Studio].
type gather struct{ s *Studio }

func keep[T any](in *[]T, v T) error {
	*in = append(*in, v)
	return nil
}

func keepOf[T any](in map[string][]T, student string, v T) error {
	in[student] = append(in[student], v)
	return nil
}

func (g gather) Studio(s practice.Studio) error {
	g.s.Studio = s
	return nil
}

func (g gather) Student(s practice.Student) error {
	g.s.Logs[s.ID] = &practice.Log{}
	return keep(&g.s.Students, s)
}

func (g gather) Drill(d practice.Drill) error       { return keep(&g.s.Own, d) }
func (g gather) Person(p practice.Person) error     { return keep(&g.s.People, p) }
func (g gather) Guardian(v practice.Guardian) error { return keep(&g.s.Guardians, v) }
func (g gather) Cover(c practice.Cover) error       { return keep(&g.s.Covers, c) }
func (g gather) Wish(w practice.Wish) error         { return keep(&g.s.Wishes, w) }
func (g gather) Week(w practice.Week) error         { return keep(&g.s.Logs[w.Student].Weeks, w) }
func (g gather) Attempt(a practice.Attempt) error   { return keep(&g.s.Logs[a.Student].Attempts, a) }
func (g gather) Tally(t practice.Tally) error       { return keep(&g.s.Logs[t.Student].Tallies, t) }
func (g gather) Session(s practice.Session) error   { return keep(&g.s.Logs[s.Student].Sessions, s) }
func (g gather) Probe(p practice.ProbeResult) error { return keep(&g.s.Logs[p.Student].Probes, p) }
func (g gather) Mark(m practice.DrillMark) error    { return keep(&g.s.Logs[m.Student].Marks, m) }
func (g gather) Words(w practice.SetWords) error    { return keep(&g.s.Logs[w.Student].Words, w) }
func (g gather) Detour(d practice.Detour) error     { return keep(&g.s.Logs[d.Student].Detours, d) }
func (g gather) Receipt(r practice.Receipt) error   { return keepOf(g.s.Receipts, r.Student, r) }
func (g gather) Note(n practice.Note) error         { return keepOf(g.s.Notes, n.Student, n) }
func (g gather) Consent(c practice.Consent) error   { return keepOf(g.s.Consents, c.Student, c) }
func (g gather) Decision(d practice.Decision) error { return keepOf(g.s.Decisions, d.Student, d) }
func (g gather) Change(c practice.Change) error     { return keep(&g.s.Changes, c) }
