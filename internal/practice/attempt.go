package practice

// Attempt is one rep of a drill, as logged.
type Attempt struct {
	ID      string
	Student string
	At      Instant
	Session string // the session log it belongs to, if known
	Item    string // the item of the week it was planned as, if any
	Drill   string
	Set     int // from 1, 0 unknown
	Rep     int // from 1, 0 unknown
	Entry   Entry
	Support Support // empty: the drill's own
	Surface Surface // empty: the floor
	Place   string
	Passed  Maybe[bool]
	Seconds Maybe[float64]
	Timed   Timing
	End     End
	Cold    Maybe[bool]
	Witness Witness // how it is known beside the student's word, if it is
	Note    string
}

// Witness is how a try is known beside the word of the student.
type Witness string

// Witnesses.
const (
	Watched Witness = "watched" // by a coach or an assistant
	Filmed  Witness = "filmed"
)

// Witnesses is the vocabulary of them.
var Witnesses = []Witness{Watched, Filmed}

// The two drills every library has: a free try, and the first of the day.
const (
	OpenTry = "open-try"
	ColdTry = "cold-try"
)

// FreeTry says whether the drill is one of the two whose `passed` means caught.
func FreeTry(drill string) bool { return drill == OpenTry || drill == ColdTry }

// CatchS is the shortest hold that counts as caught, in seconds.
const CatchS = 1.0

// MaxHoldS is the longest hold a log may claim, in seconds: ten hours would be
// a slip of the pen.
const MaxHoldS = 3600.0

// Check lists what is impossible in the attempt itself.
func (a Attempt) Check() (fs []Fault) {
	fs = checkRow(a.ID, a.Student, a.Drill)
	fs = append(fs, checkPlace(a.Session, a.Item, a.Set)...)
	if a.Rep < 0 || a.Rep > MaxTries {
		fs = append(fs, outOfRange("rep", float64(a.Rep), "1 to 500, or leave it empty"))
	}
	if a.Seconds.Known && !(a.Seconds.Value >= 0 && a.Seconds.Value <= MaxHoldS) {
		fs = append(fs, outOfRange("seconds", a.Seconds.Value, "0 to 3600 seconds, or leave it empty where it was not timed"))
	}
	if FreeTry(a.Drill) {
		fs = append(fs, a.checkFreeTry()...)
	}
	return fs
}

func (a Attempt) checkFreeTry() (fs []Fault) {
	if a.Seconds.Known && a.Passed.Known {
		switch {
		case a.Seconds.Value >= CatchS && !a.Passed.Value:
			fs = append(fs, Fault{Code: Contradiction, Field: "passed", Value: "false",
				Want: "true: passed means caught, and a second or more is a catch"})
		case a.Seconds.Value >= 0 && a.Seconds.Value < CatchS && a.Passed.Value:
			fs = append(fs, Fault{Code: Contradiction, Field: "passed", Value: "true",
				Want: "false: passed means caught, and under a second is not a catch"})
		}
	}
	if a.Support == WallBack || a.Support == WallChest || a.Support == Floor {
		fs = append(fs, Fault{Code: Contradiction, Field: "support", Value: string(a.Support),
			Want: "open or spotter: log work at the wall under a wall drill"})
	}
	if a.Drill == ColdTry && a.Cold.Known && !a.Cold.Value {
		fs = append(fs, Fault{Code: Contradiction, Field: "cold", Value: "false",
			Want: "true or empty for a cold-try; log a warm try as open-try"})
	}
	return fs
}

func checkRow(id, student, drill string) (fs []Fault) {
	if !ValidID(id) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(id)})
	}
	if !ValidID(student) {
		fs = append(fs, Fault{Code: BadID, Field: "student", Value: Short(student)})
	}
	if !ValidID(drill) {
		fs = append(fs, Fault{Code: BadID, Field: "drill", Value: Short(drill)})
	}
	return fs
}

// checkPlace is what attempts and tallies say of where in a session they were.
func checkPlace(session, item string, set int) (fs []Fault) {
	fs = append(mayBeID("session", session), mayBeID("item", item)...)
	if set < 0 || set > MaxTries {
		fs = append(fs, outOfRange("set", float64(set), "1 to 500, or leave it empty"))
	}
	return fs
}

// mayBeID is the fault of a field that names something by its id and may be
// empty.
func mayBeID(field, id string) []Fault {
	if id == "" || ValidID(id) {
		return nil
	}
	return []Fault{{Code: BadID, Field: field, Value: Short(id)}}
}

// Tally is a set counted instead of logged try by try: tries, caught (or
// passed), and the best two holds.
type Tally struct {
	ID         string
	Student    string
	At         Instant
	Session    string
	Item       string
	Drill      string
	Set        int
	Entry      Entry
	Support    Support
	Surface    Surface
	Place      string
	Tries      int
	Caught     Maybe[int]
	Best       Maybe[float64] // seconds
	SecondBest Maybe[float64] // seconds
	Timed      Timing
	Note       string
}

// MaxTries is the most tries one tally may claim.
const MaxTries = 500

// Check lists what is impossible in the tally itself.
func (t Tally) Check() (fs []Fault) {
	fs = append(checkRow(t.ID, t.Student, t.Drill), checkPlace(t.Session, t.Item, t.Set)...)
	if t.Tries < 1 || t.Tries > MaxTries {
		fs = append(fs, outOfRange("tries", float64(t.Tries), "1 to 500"))
	}
	if t.Caught.Known && (t.Caught.Value < 0 || t.Tries >= 1 && t.Caught.Value > t.Tries) {
		fs = append(fs, outOfRange("caught", float64(t.Caught.Value), "0 up to the number of tries"))
	}
	for _, best := range []struct {
		field string
		Maybe[float64]
	}{{"best", t.Best}, {"second_best", t.SecondBest}} {
		if best.Known && !(best.Value >= 0 && best.Value <= MaxHoldS) {
			fs = append(fs, outOfRange(best.field, best.Value, "0 to 3600 seconds, or leave it empty"))
		}
	}
	return append(fs, t.checkBest()...)
}

func (t Tally) checkBest() (fs []Fault) {
	if t.SecondBest.Known && (!t.Best.Known || t.SecondBest.Value > t.Best.Value) {
		fs = append(fs, Fault{Code: Contradiction, Field: "second_best", Want: "no more than best, and best given too"})
	}
	if !FreeTry(t.Drill) || !t.Caught.Known || t.Caught.Value < 0 {
		return fs
	}
	holds := 0
	for _, best := range []Maybe[float64]{t.Best, t.SecondBest} {
		if best.Known && best.Value >= CatchS {
			holds++
		}
	}
	if holds > t.Caught.Value {
		fs = append(fs, Fault{Code: Contradiction, Field: "caught", Want: "at least the number of holds of a second or more"})
	}
	if t.Caught.Value > 0 && t.Best.Known && t.Best.Value < CatchS {
		fs = append(fs, Fault{Code: Contradiction, Field: "best", Want: "a second or more where something was caught"})
	}
	return fs
}
