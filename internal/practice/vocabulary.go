package practice

import (
	"slices"

	"github.com/agnivade/levenshtein"
)

// The words of the log, the same on screens, in code and in files.
type (
	// Component is what a handstand is made of, by name. Components are data:
	// the library lists them and nothing in the code counts them.
	Component string
	// Support is what holds the student up.
	Support string
	// Surface is what the hands stand on.
	Surface string
	// Entry is how a try gets upside down.
	Entry string
	// End is how an attempt ended.
	End string
	// Timing is how the seconds were taken.
	Timing string
	// Kind is the work a drill does.
	Kind string
	// Measure is what a drill counts.
	Measure string
	// Kit is a thing a drill may need.
	Kit string
	// Strain is what a stop or a restriction may rule out.
	Strain string
	// Mark is what a student says of a drill.
	Mark string
	// CueKind is what a cue asks the student to attend to.
	CueKind string
	// Side is left or right.
	Side string
)

// Supports, best known first. Floor is not inverted.
const (
	Open      Support = "open"
	WallBack  Support = "wall-back"
	WallChest Support = "wall-chest"
	Spotter   Support = "spotter"
	Floor     Support = "floor"
)

// Ends of an attempt.
const (
	Over         End = "over"
	Under        End = "under"
	Sideways     End = "side"
	Stepped      End = "stepped"
	Wall         End = "wall"
	Lowered      End = "lowered"
	SpottedSave  End = "spotted-save"
	SpottedTouch End = "spotted-touch"
	Pain         End = "pain"
)

// Kinds of drill.
const (
	Skill    Kind = "skill"
	Strength Kind = "strength"
	Mobility Kind = "mobility"
)

// Measures of a drill.
const (
	PassFail Measure = "pass"
	HoldFor  Measure = "hold"
	Count    Measure = "count"
	Minutes  Measure = "minutes"
)

// Strains that a stop or a restriction may rule out.
const (
	Inverted Strain = "inverted"
	HandLoad Strain = "hand_load"
	Overhead Strain = "overhead"
)

// Marks a student may give a drill.
const (
	Helped    Mark = "helped"
	Confusing Mark = "confusing"
)

// The vocabularies, each whole.
var (
	Supports  = []Support{Open, WallBack, WallChest, Spotter, Floor}
	Surfaces  = []Surface{"floor", "blocks", "parallettes", "canes", "soft"}
	Entries   = []Entry{"kick", "tuck", "straddle", "pike", "step"}
	Ends      = []End{Over, Under, Sideways, Stepped, Wall, Lowered, SpottedSave, SpottedTouch, Pain}
	Timings   = []Timing{"counted", "stopwatch", "clip"}
	Kinds     = []Kind{Skill, Strength, Mobility}
	Measures  = []Measure{PassFail, HoldFor, Count, Minutes}
	Kits      = []Kit{"wall", "mat", "blocks", "parallettes", "canes", "box", "spotter"}
	Strains   = []Strain{Inverted, HandLoad, Overhead}
	Marks     = []Mark{Helped, Confusing}
	CueKinds  = []CueKind{"feel", "look", "push"}
	Sides     = []Side{"left", "right"}
	PainSites = []string{"wrist", "elbow", "shoulder", "neck", "back", "head", "other"}
)

// Fell says whether the end was a fall: the hold ended because balance was
// lost. The other known ends leave the time right-censored.
func (e End) Fell() bool {
	switch e {
	case Over, Under, Sideways, Stepped, Wall, SpottedSave:
		return true
	}
	return false
}

// Word finds s in a vocabulary. An unknown word is an error that names the
// nearest known one.
func Word[T ~string](vocabulary []T, s string) (T, error) {
	if i := slices.Index(vocabulary, T(s)); i >= 0 {
		return vocabulary[i], nil
	}
	known := make([]string, len(vocabulary))
	for i, w := range vocabulary {
		known[i] = string(w)
	}
	return "", unknownWord(s, known)
}

// UnknownWordError is a word that its vocabulary does not have.
type UnknownWordError struct {
	Word    string
	Nearest string
	Known   []string
}

func (e *UnknownWordError) Error() string {
	return "practice: unknown word " + quote(e.Word) + ", nearest known " + quote(e.Nearest)
}

func unknownWord(s string, known []string) error {
	return &UnknownWordError{Word: s, Nearest: Nearest(s, known), Known: known}
}

// Nearest is the known word with the smallest edit distance to s, the first of
// equals; empty where nothing is known. A long s is compared by its start.
func Nearest(s string, known []string) string {
	if len(s) > 80 {
		s = s[:80]
	}
	best, distance := "", -1
	for _, w := range known {
		if d := levenshtein.ComputeDistance(s, w); distance < 0 || d < distance {
			best, distance = w, d
		}
	}
	return best
}
