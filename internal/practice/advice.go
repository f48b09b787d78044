package practice

// Advice is what a library says beside its drills: what to look for in a fall,
// lessons told step by step, smaller versions of a session, and the ladders
// beyond 15 s.
type Advice struct {
	Troubles []Trouble
	Lessons  []Lesson
	Smaller  []Smaller
	Stop     StopRule
	Ladders  []Ladder
}

// Trouble is one way a try goes wrong: how it looks, what to check first, and
// what to practise and say. In a list the commoner come first.
type Trouble struct {
	ID        string    `json:"id"`
	Ends      []End     `json:"ends"`             // the falls it shows in
	Look      string    `json:"look,omitempty"`   // how it looks
	Check     string    `json:"check,omitempty"`  // what to check first
	Component Component `json:"component"`        // the one it speaks of
	Drills    []string  `json:"drills"`           // the easier first
	Cue       CueOf     `json:"cue"`              // what to say
	Common    float64   `json:"common,omitempty"` // how often it is the reason, against the others of its ends
	Source    string    `json:"source"`
}

// CueOf names a cue of a drill, or, with both empty, has a text of its own.
type CueOf struct {
	Drill string `json:"drill,omitempty"`
	ID    string `json:"id,omitempty"`
	Text  string `json:"text,omitempty"`
}

// Lesson is something told step by step.
type Lesson struct {
	ID     string       `json:"id"`
	Name   string       `json:"name,omitempty"`
	For    string       `json:"for,omitempty"` // whom, and what it gives
	Steps  []LessonStep `json:"steps"`
	Source string       `json:"source"`
}

// LessonStep is one step of a lesson. What Head is depends on the lesson: what
// to do, or what a student asks, with the coach's line as Text.
type LessonStep struct {
	ID      string   `json:"id"`
	Head    string   `json:"head,omitempty"`
	Text    string   `json:"text,omitempty"`
	Minutes float64  `json:"minutes,omitempty"`
	Drills  []string `json:"drills,omitempty"` // done in this step
	Test    string   `json:"test,omitempty"`   // the floor test asked in this step
}

// Smaller is a rule that makes a session smaller by leaving things out of it.
type Smaller struct {
	ID          string      `json:"id"`
	Name        string      `json:"name,omitempty"`
	When        string      `json:"when,omitempty"`
	Do          string      `json:"do,omitempty"`
	Blocks      []BlockKind `json:"blocks"`                 // that are kept
	Supports    []Support   `json:"supports"`               // of the drills that are kept
	SetShare    float64     `json:"set_share"`              // of the sets of a drill, rounded up
	Items       int         `json:"items,omitempty"`        // kept at the most; 0: all
	Minutes     float64     `json:"minutes,omitempty"`      // of the session at the most; 0: what is kept takes
	PrepMinutes float64     `json:"prep_minutes,omitempty"` // at the most; 0: all of them
	Source      string      `json:"source"`
}

// StopRule says when a session is over before its time.
type StopRule struct {
	Name      string `json:"name,omitempty"`
	When      string `json:"when,omitempty"`
	Do        string `json:"do,omitempty"`
	WorseSets int    `json:"worse_sets"` // in a row, each worse than the one before
	Source    string `json:"source"`
}

// Ladder is a road beyond 15 s: milestones with what each asks first.
type Ladder struct {
	ID     string `json:"id"`
	Name   string `json:"name,omitempty"`
	For    string `json:"for,omitempty"`
	Rungs  []Rung `json:"rungs"`
	Source string `json:"source"`
}

// Rung is one milestone of a ladder with its cold test.
type Rung struct {
	ID     string   `json:"id"`
	Name   string   `json:"name,omitempty"`
	Setup  string   `json:"setup,omitempty"`  // of its cold test
	Counts string   `json:"counts,omitempty"` // what counts, for an observer
	After  []string `json:"after,omitempty"`  // rungs, of any ladder, that are proven first
	Needs  []Need   `json:"needs,omitempty"`  // all must have been shown
	Drills []string `json:"drills,omitempty"` // on the way to it, the easier first
	Test   RungTest `json:"test"`
	Source string   `json:"source"`
}

// RungTest is the cold test of a rung, in figures.
type RungTest struct {
	Seconds  float64 `json:"seconds,omitempty"`   // to be held
	Count    int     `json:"count,omitempty"`     // to be done without a break: presses, steps, changes
	TriesDay int     `json:"tries_a_day"`         // that count, the first of the day
	EachSide bool    `json:"each_side,omitempty"` // shown on both sides
	Minutes  float64 `json:"minutes"`             // it takes in a session
}

// Step finds a step of the lesson by id.
func (l Lesson) Step(id string) (LessonStep, bool) {
	for _, s := range l.Steps {
		if s.ID == id {
			return s, true
		}
	}
	return LessonStep{}, false
}

// Lesson finds a lesson by id.
func (a *Advice) Lesson(id string) (Lesson, bool) {
	for _, l := range a.Lessons {
		if l.ID == id {
			return l, true
		}
	}
	return Lesson{}, false
}

// Version finds a smaller version by id.
func (a *Advice) Version(id string) (Smaller, bool) {
	for _, s := range a.Smaller {
		if s.ID == id {
			return s, true
		}
	}
	return Smaller{}, false
}
