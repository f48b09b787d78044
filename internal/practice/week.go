package practice

import (
	"encoding/json"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode"
)

// WeekStatus is how far a week has come.
type WeekStatus string

// States of a week.
const (
	Draft      WeekStatus = "draft"
	HandedOver WeekStatus = "handed-over"
	Done       WeekStatus = "done"
)

// WeekStatuses is the vocabulary of a week's state.
var WeekStatuses = []WeekStatus{Draft, HandedOver, Done}

// BlockKind is a part of a session.
type BlockKind string

// Blocks of a session, in the order they come.
const (
	PrepBlock     BlockKind = "prep"
	ColdBlock     BlockKind = "cold"
	TriesBlock    BlockKind = "tries"
	PracticeBlock BlockKind = "practice"
	StrengthBlock BlockKind = "strength"
	StretchBlock  BlockKind = "stretch"
	LogBlock      BlockKind = "log"
)

// BlockKinds is the vocabulary of blocks, in session order.
var BlockKinds = []BlockKind{PrepBlock, ColdBlock, TriesBlock, PracticeBlock, StrengthBlock, StretchBlock, LogBlock}

// Week is one student's practice for one ISO week. Handed over, it is frozen
// whole: texts, numbers and what they were computed from.
type Week struct {
	Student  string           `json:"student"`
	ISOWeek  ISOWeek          `json:"iso_week"`
	Version  int              `json:"version"`
	Status   WeekStatus       `json:"status"`
	AsOf     Date             `json:"as_of"`
	HandedAt *Instant         `json:"handed_at,omitempty"`
	Library  string           `json:"library,omitempty"` // library version
	Model    string           `json:"model,omitempty"`   // model version
	Seed     uint64           `json:"seed,omitempty"`
	Problem  json.RawMessage  `json:"problem,omitempty"` // what the planner was given
	Sessions []PlannedSession `json:"sessions"`
	// Tests are the floor tests of the week, in the order they are taken.
	Tests []PlannedTest `json:"tests,omitempty"`
	// DaysOff is stretching for the days without a session.
	DaysOff []Item `json:"days_off,omitempty"`
}

// MaxVersion is the highest version a week may be said to have.
const MaxVersion = 10_000

// Check lists what is wrong with the week itself.
func (w Week) Check() (fs []Fault) {
	if !ValidID(w.Student) {
		fs = append(fs, Fault{Code: BadID, Field: "student", Value: Short(w.Student)})
	}
	if w.Version < 1 {
		fs = append(fs, outOfRange("version", float64(w.Version), "1 or more"))
	}
	for i, item := range w.DaysOff {
		fs = append(fs, item.check(indexed("days_off", i, ""))...)
	}
	for i, t := range w.Tests {
		fs = append(fs, t.check(indexed("tests", i, ""))...)
	}
	for i, s := range w.Sessions {
		if !(s.Minutes >= 0 && s.Minutes <= 600) {
			fs = append(fs, outOfRange(indexed("sessions", i, "minutes"), s.Minutes, "0 to 600 minutes"))
		}
		for j, b := range s.Blocks {
			for k, item := range b.Items {
				path := indexed("sessions", i, indexed("blocks", j, indexed("items", k, "")))
				fs = append(fs, item.check(path)...)
			}
		}
	}
	return fs
}

func (i Item) check(path string) (fs []Fault) {
	if !ValidID(i.Drill) {
		fs = append(fs, Fault{Code: BadID, Field: path + "drill", Value: Short(i.Drill)})
	}
	if i.Sets < 0 || i.Reps < 0 || !(i.Minutes >= 0) || !(i.Seconds >= 0) || !(i.RestSeconds >= 0) || !(i.HandMinutes >= 0) {
		fs = append(fs, Fault{Code: OutOfRange, Field: path + "minutes", Value: number(i.Minutes), Want: "a dose without negative numbers"})
	}
	if c := i.Choice; c != nil && !(c.Probability > 0 && c.Probability <= 1) {
		fs = append(fs, outOfRange(path+"choice.probability", c.Probability, "a probability over 0, up to 1"))
	}
	return fs
}

func (t PlannedTest) check(path string) (fs []Fault) {
	if !ValidID(t.Test) {
		fs = append(fs, Fault{Code: BadID, Field: path + "test", Value: Short(t.Test)})
	}
	if !(t.Minutes >= 0 && t.Minutes <= 600) {
		fs = append(fs, outOfRange(path+"minutes", t.Minutes, "0 to 600 minutes"))
	}
	if !(t.Worth >= 0) {
		fs = append(fs, outOfRange(path+"worth", t.Worth, "0 or more"))
	}
	if !(t.Cost >= 0) {
		fs = append(fs, outOfRange(path+"cost", t.Cost, "0 or more"))
	}
	return fs
}

// PlannedTest is a floor test of a session, taken while the student is fresh,
// after its cold tries; its minutes are among the session's.
type PlannedTest struct {
	Day     Weekday `json:"day"` // of its session
	Test    string  `json:"test"`
	Name    string  `json:"name,omitempty"`
	Minutes float64 `json:"minutes"`
	// Worth is what the answer was expected to add to practice, Cost what its
	// minutes would have added, both as shares of what the week's practice was
	// worth.
	Worth float64 `json:"worth,omitempty"`
	Cost  float64 `json:"cost,omitempty"`
	// Between are the two components whose minutes the answer may move most.
	Between []Component `json:"between,omitempty"`
}

// PlannedSession is one session of a week.
type PlannedSession struct {
	Day     Weekday `json:"day"`
	Start   string  `json:"start,omitempty"`
	RidesOn string  `json:"rides_on,omitempty"`
	Minutes float64 `json:"minutes"`
	Blocks  []Block `json:"blocks"`
}

// Block is a stretch of a session with one purpose.
type Block struct {
	Kind    BlockKind `json:"kind"`
	Minutes float64   `json:"minutes"`
	Items   []Item    `json:"items"`
}

// Item is one line of a session: a drill and its dose.
type Item struct {
	ID          string  `json:"id,omitempty"` // within the week; attempts name it
	Drill       string  `json:"drill"`
	Name        string  `json:"name,omitempty"`
	Sets        int     `json:"sets,omitempty"`
	Reps        int     `json:"reps,omitempty"`
	Seconds     float64 `json:"seconds,omitempty"`
	RestSeconds float64 `json:"rest_seconds,omitempty"`
	Minutes     float64 `json:"minutes"`
	HandMinutes float64 `json:"hand_minutes,omitempty"`
	Cue         string  `json:"cue,omitempty"`
	Why         string  `json:"why,omitempty"`
	Choice      *Choice `json:"choice,omitempty"` // where chance had a part
}

// Choice is how chance picked an item: among what, and how likely this one was.
type Choice struct {
	Among       []string `json:"among"`
	Probability float64  `json:"probability"`
}

// Wish is what the coach wants of next week for a student or a group.
type Wish struct {
	Student string     `json:"student,omitempty"`
	Group   string     `json:"group,omitempty"`
	Week    *ISOWeek   `json:"week,omitempty"` // nil: every week until taken out
	Locks   []WishLock `json:"locks,omitempty"`
	Bans    []string   `json:"bans,omitempty"`
	Minutes *float64   `json:"minutes_share,omitempty"` // 0.3 to 1.5 of the usual minutes
	Reason  string     `json:"reason,omitempty"`
	Cues    []WishCue  `json:"cues,omitempty"`
	Moves   []WishMove `json:"moves,omitempty"`
}

// WishCue is the cue the coach writes for a drill, in the place of the drill's
// own.
type WishCue struct {
	Drill string `json:"drill"`
	Text  string `json:"text"`
}

// WishMove puts a session of the week on another day.
type WishMove struct {
	From Weekday `json:"from"`
	To   Weekday `json:"to"`
}

// WishLock keeps a drill in the week; Sets 0 leaves the dose to the planner.
type WishLock struct {
	Drill string `json:"drill"`
	Sets  int    `json:"sets,omitempty"`
}

// For says whether the wish speaks of this student and week.
func (w Wish) For(s Student, week ISOWeek) bool {
	if w.Week != nil && *w.Week != week {
		return false
	}
	return w.Student == s.ID && w.Student != "" || w.Group != "" && w.Group == s.Group
}

// Check lists what is wrong with the wish itself.
func (w Wish) Check() (fs []Fault) {
	if (w.Student == "") == (w.Group == "") {
		fs = append(fs, Fault{Code: Contradiction, Field: "student", Value: Short(w.Student), Want: "either a student or a group"})
	}
	if w.Minutes != nil && !(*w.Minutes >= 0.3 && *w.Minutes <= 1.5) {
		fs = append(fs, outOfRange("minutes_share", *w.Minutes, "0.3 to 1.5 of the usual minutes"))
	}
	for i, l := range w.Locks {
		if l.Sets < 0 || l.Sets > 20 {
			fs = append(fs, outOfRange(indexed("locks", i, "sets"), float64(l.Sets), "0 to 20 sets"))
		}
	}
	for i, c := range w.Cues {
		if n := len([]rune(c.Text)); n == 0 || n > 120 || strings.ContainsFunc(c.Text, unicode.IsControl) {
			fs = append(fs, Fault{Code: OutOfRange, Field: indexed("cues", i, "text"), Value: Short(c.Text), Want: "one short line, at most 120 letters"})
		}
		if slices.ContainsFunc(w.Cues[:i], func(o WishCue) bool { return o.Drill == c.Drill }) {
			fs = append(fs, Fault{Code: Contradiction, Field: indexed("cues", i, "drill"), Value: Short(c.Drill), Want: "one cue a drill"})
		}
	}
	return append(fs, w.checkMoves()...)
}

func (w Wish) checkMoves() (fs []Fault) {
	from, to := map[Weekday]bool{}, map[Weekday]bool{}
	for i, m := range w.Moves {
		if from[m.From] || to[m.To] || m.From == m.To {
			fs = append(fs, Fault{Code: Contradiction, Field: indexed("moves", i, "to"), Value: m.To.String(), Want: "one session a day, each moved once"})
		}
		from[m.From], to[m.To] = true, true
	}
	return fs
}

// Key names a version of a student's week: mira/2026-W23/2.
func (w Week) Key() string {
	return w.Student + "/" + w.ISOWeek.String() + "/" + strconv.Itoa(w.Version)
}

// ParseWeekKey reads what Key writes.
func ParseWeekKey(s string) (student string, week ISOWeek, version int, err error) {
	parts := strings.Split(s, "/")
	if len(parts) == 3 {
		if week, err = ParseISOWeek(parts[1]); err != nil {
			return "", ISOWeek{}, 0, err
		}
		version, err = strconv.Atoi(parts[2])
	}
	w := Week{Student: parts[0], ISOWeek: week, Version: version}
	if err != nil || version < 1 || version > MaxVersion || !ValidID(w.Student) || w.Key() != s {
		return "", ISOWeek{}, 0, fmt.Errorf("practice: a week handed over is named as mira/2026-W23/2, not %q", Short(s))
	}
	return w.Student, week, version, nil
}
