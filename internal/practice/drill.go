package practice

import (
	"slices"
	"strconv"
	"strings"
)

// Cue is one short line said before or during a try.
type Cue struct {
	ID   string  `json:"id"`
	Kind CueKind `json:"kind"`
	Text string  `json:"text"`
}

// Drill is one exercise with its dose and its place in the model.
type Drill struct {
	ID        string    `json:"id"`
	Name      string    `json:"name"`
	Purpose   string    `json:"purpose"` // one line
	Setup     string    `json:"setup"`
	Steps     []string  `json:"steps,omitempty"`
	Errors    []Slip    `json:"errors,omitempty"`  // the commonest, with what to change
	Out       string    `json:"out,omitempty"`     // how to come out safely
	NotFor    string    `json:"not_for,omitempty"` // who should not do it
	Spot      string    `json:"spot,omitempty"`    // what a spotter does, where one is needed
	Cues      []Cue     `json:"cues"`
	Criterion string    `json:"criterion"` // what counts as passed, for an observer
	Component Component `json:"component"` // the one it mainly trains
	Kind      Kind      `json:"kind"`
	Support   Support   `json:"support"`
	Measure   Measure   `json:"measure"`

	Reps         int     `json:"reps,omitempty"`         // per set
	Seconds      float64 `json:"seconds,omitempty"`      // work per rep, or the hold's target
	RestSeconds  float64 `json:"rest_seconds,omitempty"` // after each rep
	SetMinutes   float64 `json:"set_minutes"`            // one set with its rests
	SetupMinutes float64 `json:"setup_minutes"`          // once a session
	HandMinutes  float64 `json:"hand_minutes"`           // weight on the hands in one set
	MinSets      int     `json:"min_sets"`
	MaxSets      int     `json:"max_sets"`
	WeekSets     int     `json:"week_sets"` // fewer in a week are not worth it

	Difficulty   float64          `json:"difficulty"`    // logit
	DifficultySD float64          `json:"difficulty_sd"` // logit
	Before       []PastDifficulty `json:"before,omitempty"`

	Strains []Strain `json:"strains,omitempty"` // what it does to the body
	Kit     []Kit    `json:"kit,omitempty"`
	Needs   []Need   `json:"needs,omitempty"`   // all must have been shown
	Harder  []string `json:"harder,omitempty"`  // drills that are the next step up
	Retired bool     `json:"retired,omitempty"` // not planned any more; what was done of it keeps its meaning
	Figure  *Figure  `json:"-"`                 // its drawing; the built-in library has them
	Source  string   `json:"source"`
}

// PastDifficulty is how hard a drill was thought to be up to a day: what was
// done by then keeps its old meaning. In order of the days.
type PastDifficulty struct {
	Until        Date    `json:"until"`
	Difficulty   float64 `json:"difficulty"`
	DifficultySD float64 `json:"difficulty_sd"`
}

// Need is something to be shown first: any one of its ways will do.
type Need struct {
	Any []Shown `json:"any"`
}

// Shown is one way to show it: so many passes of a drill, a floor test at
// least (where less is better, at most) this good, or a hold of so many
// seconds proven by cold tries.
type Shown struct {
	Drill  string   `json:"drill,omitempty"`
	Passes int      `json:"passes,omitempty"`
	Test   string   `json:"test,omitempty"`
	Value  *float64 `json:"value,omitempty"`
	Proven float64  `json:"proven,omitempty"` // seconds
}

// Has says whether the drill puts this strain on the body.
func (d Drill) Has(s Strain) bool { return slices.Contains(d.Strains, s) }

// Inverted says whether the drill goes upside down.
func (d Drill) Inverted() bool { return d.Has(Inverted) }

// Check lists what is wrong with the drill's own fields.
func (d Drill) Check() (fs []Fault) {
	if !ValidID(d.ID) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(d.ID)})
	}
	for _, text := range []struct{ field, value string }{
		{"name", d.Name}, {"purpose", d.Purpose}, {"setup", d.Setup}, {"criterion", d.Criterion}, {"source", d.Source},
	} {
		if strings.TrimSpace(text.value) == "" {
			fs = append(fs, Fault{Code: MissingField, Field: text.field})
		}
	}
	if d.Figure != nil {
		for _, f := range d.Figure.Check() {
			f.Field = "figure." + f.Field
			fs = append(fs, f)
		}
	}
	return append(append(fs, d.checkDose()...), d.checkSense()...)
}

func (d Drill) checkDose() (fs []Fault) {
	half := func(field string, v, lo, hi float64) {
		if !(v >= lo && v <= hi) || v*2 != float64(int(v*2)) {
			fs = append(fs, outOfRange(field, v, "a multiple of a half, "+number(lo)+" to "+number(hi)))
		}
	}
	half("set_minutes", d.SetMinutes, 0.5, 30)
	half("setup_minutes", d.SetupMinutes, 0, 15)
	half("hand_minutes", d.HandMinutes, 0, d.SetMinutes)
	if d.MinSets < 1 || d.MaxSets < d.MinSets || d.MaxSets > 12 {
		fs = append(fs, outOfRange("max_sets", float64(d.MaxSets), "1 <= min_sets <= max_sets <= 12"))
	}
	if d.WeekSets < 0 || d.WeekSets > 40 {
		fs = append(fs, outOfRange("week_sets", float64(d.WeekSets), "0 to 40"))
	}
	if d.Reps < 0 || d.Seconds < 0 || d.RestSeconds < 0 {
		fs = append(fs, outOfRange("reps", float64(d.Reps), "reps, seconds and rest_seconds are not negative"))
	}
	if !(d.Difficulty >= -8 && d.Difficulty <= 8) {
		fs = append(fs, outOfRange("difficulty", d.Difficulty, "logits, -8 to 8"))
	}
	if !(d.DifficultySD > 0 && d.DifficultySD <= 3) {
		fs = append(fs, outOfRange("difficulty_sd", d.DifficultySD, "logits, over 0 up to 3"))
	}
	for i, b := range d.Before {
		if !(b.Difficulty >= -8 && b.Difficulty <= 8) || !(b.DifficultySD > 0 && b.DifficultySD <= 3) {
			fs = append(fs, outOfRange(indexed("before", i, "difficulty"), b.Difficulty, "logits, -8 to 8, with a difficulty_sd over 0 up to 3"))
		}
		if i > 0 && b.Until <= d.Before[i-1].Until {
			fs = append(fs, Fault{Code: Contradiction, Field: indexed("before", i, "until"), Value: b.Until.String(), Want: "a day after " + d.Before[i-1].Until.String()})
		}
	}
	return fs
}

func (d Drill) checkSense() (fs []Fault) {
	contradict := func(field, value, want string) {
		fs = append(fs, Fault{Code: Contradiction, Field: field, Value: value, Want: want})
	}
	if (d.Support != Floor) != d.Inverted() {
		contradict("support", string(d.Support), "floor where the drill is not inverted, another where it is")
	}
	if d.Inverted() && !d.Has(HandLoad) {
		contradict("strains", joined(d.Strains), "hand_load as well: upside down the hands carry the body")
	}
	if d.HandMinutes > 0 && !d.Has(HandLoad) {
		contradict("hand_minutes", number(d.HandMinutes), "0, or hand_load among the strains")
	}
	if d.Kind == Mobility && d.HandMinutes > 0 {
		contradict("hand_minutes", number(d.HandMinutes), "0 for mobility: it is done on rest days too")
	}
	for i, n := range d.Needs {
		if len(n.Any) == 0 {
			fs = append(fs, Fault{Code: MissingField, Field: indexed("needs", i, "any")})
		}
		for j, s := range n.Any {
			ways := 0
			for _, by := range []bool{s.Drill != "" && s.Passes > 0, s.Test != "" && s.Value != nil, s.Proven > 0} {
				if by {
					ways++
				}
			}
			if ways != 1 {
				contradict(indexed("needs", i, "any["+strconv.Itoa(j)+"]"), s.Drill+s.Test, "one of drill with passes, test with value, or proven seconds")
			}
		}
	}
	return fs
}

func indexed(list string, i int, field string) string {
	return list + "[" + strconv.Itoa(i) + "]." + field
}

func number(v float64) string { return strconv.FormatFloat(v, 'g', -1, 64) }

func joined[T ~string](words []T) string {
	s := make([]string, len(words))
	for i, w := range words {
		s[i] = string(w)
	}
	return strings.Join(s, ", ")
}
