package practice

import "math"

// Session is what a student said of one session after it.
type Session struct {
	ID          string
	Student     string
	At          Instant
	Week        string // the handed-over week it belongs to, if any
	Minutes     Maybe[float64]
	Effort      Maybe[float64] // 0 to 10
	PainSite    string
	PainBefore  Maybe[float64] // 0 to 10
	Pain        Maybe[float64] // 0 to 10, the most during or after
	PainMorning Maybe[float64] // 0 to 10, next morning
	Note        string
}

// Check lists what is impossible in the session itself.
func (s Session) Check() (fs []Fault) {
	if !ValidID(s.ID) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(s.ID)})
	}
	if !ValidID(s.Student) {
		fs = append(fs, Fault{Code: BadID, Field: "student", Value: Short(s.Student)})
	}
	within := func(field string, v Maybe[float64], hi float64, want string) {
		if v.Known && !(v.Value >= 0 && v.Value <= hi) {
			fs = append(fs, outOfRange(field, v.Value, want))
		}
	}
	within("minutes", s.Minutes, 600, "0 to 600 minutes")
	within("effort", s.Effort, 10, "0 to 10")
	within("pain_before", s.PainBefore, 10, "0 to 10")
	within("pain", s.Pain, 10, "0 to 10")
	within("pain_next_morning", s.PainMorning, 10, "0 to 10")
	return fs
}

// ProbeResult is the outcome of one floor test.
type ProbeResult struct {
	ID        string
	Student   string
	At        Instant
	Component Component
	Test      string
	Value     float64
	Unit      string
	By        string
}

// Check lists what is impossible in the result itself; what its floor test
// allows is [Probe.CheckResult].
func (p ProbeResult) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"id", p.ID}, {"student", p.Student}, {"test", p.Test}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	return fs
}

// CheckResult lists what the floor test does not allow in a result of it.
func (p Probe) CheckResult(r ProbeResult) (fs []Fault) {
	if r.Unit != p.Unit {
		fs = append(fs, Fault{Code: Contradiction, Field: "unit", Value: Short(r.Unit), Want: p.Unit + ", the unit of " + p.ID})
	}
	if r.Component != "" && r.Component != p.Component {
		fs = append(fs, Fault{Code: Contradiction, Field: "component", Value: Short(string(r.Component)),
			Want: string(p.Component) + ", the component of " + p.ID})
	}
	if !(r.Value >= p.Min && r.Value <= p.Max) {
		fs = append(fs, outOfRange("value", r.Value, number(p.Min)+" to "+number(p.Max)+" "+p.Unit))
	} else if p.Link == OfN && r.Value != math.Trunc(r.Value) {
		fs = append(fs, outOfRange("value", r.Value, "a whole number of "+p.Unit))
	}
	return fs
}

// DrillMark is what a student said of a drill: it helped, or it confused.
type DrillMark struct {
	ID      string
	Student string
	At      Instant
	Drill   string
	Mark    Mark
	Cue     string
}

// Check lists what is impossible in the mark itself.
func (m DrillMark) Check() []Fault { return checkRow(m.ID, m.Student, m.Drill) }
