package practice

// Detour is where a student left the week as it was handed over: a session
// moved or skipped, a drill skipped or swapped. Nothing is doubled up for it.
type Detour struct {
	ID      string
	Student string
	At      Instant
	Week    string  // the handed-over week, such as 2026-W23
	Version int     // of that week, from 1, 0 unknown
	Day     Weekday // of the plan
	Session int     // which session of that day, from 0
	What    DetourKind
	To      Maybe[Weekday] // of a session that was moved
	Drill   string         // the drill it is about; empty: the whole session
	For     string         // the drill done instead, of one that was swapped
	Reason  string
}

// DetourKind is what was done instead.
type DetourKind string

// Kinds of detour.
const (
	Moved   DetourKind = "moved"
	Skipped DetourKind = "skipped"
	Swapped DetourKind = "swapped"
)

// DetourKinds is the vocabulary of them.
var DetourKinds = []DetourKind{Moved, Skipped, Swapped}

// maxDaySessions is the highest number a session of a day may have.
const maxDaySessions = 9

// Check lists what is impossible in the detour itself.
func (d Detour) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"id", d.ID}, {"student", d.Student}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	if _, err := ParseISOWeek(d.Week); err != nil {
		fs = append(fs, FieldFault("week", d.Week, BadDate, err))
	}
	if d.Version < 0 || d.Version > MaxVersion {
		fs = append(fs, outOfRange("version", float64(d.Version), "a whole number from 1, or leave it empty"))
	}
	if d.Day < 0 || int(d.Day) >= len(Weekdays) {
		fs = append(fs, outOfRange("day", float64(d.Day), "a day of the week"))
	}
	if d.Session < 0 || d.Session > maxDaySessions {
		fs = append(fs, outOfRange("session", float64(d.Session), "0 to 9"))
	}
	fs = append(append(fs, mayBeID("drill", d.Drill)...), mayBeID("for", d.For)...)
	return append(append(fs, d.checkWhat()...), checkLine("reason", d.Reason)...)
}

// checkWhat lists what its kind asks of the other fields.
func (d Detour) checkWhat() (fs []Fault) {
	if _, err := Word(DetourKinds, string(d.What)); err != nil {
		return []Fault{FieldFault("what", string(d.What), UnknownWord, err)}
	}
	if d.To.Known && (d.To.Value < 0 || int(d.To.Value) >= len(Weekdays)) {
		fs = append(fs, outOfRange("to", float64(d.To.Value), "a day of the week"))
	}
	for _, f := range []struct {
		field        string
		there, wants bool
		want         string
	}{
		{"to", d.To.Known, d.What == Moved, "the day a session was moved to"},
		{"for", d.For != "", d.What == Swapped, "the drill done instead"},
	} {
		switch {
		case f.wants && !f.there:
			fs = append(fs, Fault{Code: MissingField, Field: f.field, Want: f.want})
		case f.there && !f.wants:
			fs = append(fs, Fault{Code: Contradiction, Field: f.field, Want: "nothing where what is " + string(d.What)})
		}
	}
	if d.What == Swapped && d.Drill == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "drill", Want: "the drill that was swapped"})
	}
	if d.What == Moved && d.Drill != "" {
		fs = append(fs, Fault{Code: Contradiction, Field: "drill", Value: d.Drill, Want: "nothing: a session is moved whole"})
	}
	return fs
}
