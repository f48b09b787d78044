package practice

import "math"

// Session is what a student said of one session after it.
type Session struct {
	ID          string
	Student     string
	At          Instant
	Week        string         // the handed-over week it belongs to, if any
	Version     int            // of that week, from 1, 0 unknown
	Day         Maybe[Weekday] // the day of the plan it was written for
	Form        Form           // as planned, or a shorter one; empty: not told
	Minutes     Maybe[float64]
	Effort      Maybe[float64] // 0 to 10
	PainSite    string
	PainBefore  Maybe[float64] // 0 to 10
	Pain        Maybe[float64] // 0 to 10, the most during or after
	PainMorning Maybe[float64] // 0 to 10, next morning
	Numb        Maybe[bool]    // numbness or tingling during or after
	Swollen     Maybe[bool]    // swelling after
	Note        string
}

// Form is which form of a planned session was done.
type Form string

// Forms of a session.
const (
	FormPlanned Form = "planned"
	FormTired   Form = "tired" // of a tired day
	FormFive    Form = "five"  // of five minutes
)

// Forms is the vocabulary of them.
var Forms = []Form{FormPlanned, FormTired, FormFive}

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
	return append(fs, s.checkPlan()...)
}

// checkPlan lists what is impossible in what the session says of its plan.
func (s Session) checkPlan() (fs []Fault) {
	if s.Version < 0 || s.Version > MaxVersion {
		fs = append(fs, outOfRange("version", float64(s.Version), "a whole number from 1, or leave it empty"))
	}
	if s.Version > 0 && s.Week == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "week", Want: "the week whose version it is"})
	}
	if s.Day.Known && (s.Day.Value < 0 || int(s.Day.Value) >= len(Weekdays)) {
		fs = append(fs, outOfRange("day", float64(s.Day.Value), "a day of the week"))
	}
	if _, err := Word(Forms, string(s.Form)); err != nil && s.Form != "" {
		fs = append(fs, FieldFault("form", string(s.Form), UnknownWord, err))
	}
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
