package assess

import (
	"aplomb/internal/load"
	"aplomb/internal/practice"
)

// ScreenLevel is the level of the intervals on screens and in reviews.
const ScreenLevel = 0.80

// WindowDays is how far back a review's counts and curve look.
const WindowDays = 28

// FewTries is how many tries make a chance worth naming; under that the
// standing says that it is not known yet.
const FewTries = 3

// StaleDays is how many days without a try make what was known of holding not
// known any more: the filter lets a student drift, and knows of no forgetting.
// A guess to edit.
const StaleDays = 60

// Standing is where a student stands at the end of a day. What is not known is
// nil or empty, never 0.
type Standing struct {
	Student string        `json:"student"`
	AsOf    practice.Date `json:"as_of"`
	// Tries is the free tries and holds in the open that count, ever.
	Tries int `json:"tries"`
	// DaysSinceTry is how long ago the last of them was.
	DaysSinceTry int                `json:"days_since_try"`
	Holds        Holds              `json:"holds"`
	Now          []Chance           `json:"now_at_least"`
	NowCold      []Chance           `json:"now_cold_at_least"`
	Milestone    Milestone          `json:"milestone"`
	Components   []ComponentLevel   `json:"components"`
	Limiter      practice.Component `json:"limiter,omitempty"` // the likeliest, known or not
	// LimiterKnown: the likeliest component holds at least half the chance, and
	// something was seen of it.
	LimiterKnown bool      `json:"limiter_known"`
	ProbeNext    string    `json:"probe_next,omitempty"` // the floor test that would tell most
	Progress     Progress  `json:"progress"`
	Load         Load      `json:"load"`
	Stops        []StopNow `json:"stops"`

	// What the planner needs besides; not part of the review.
	Drills      []DrillStanding                      `json:"-"` // one for every drill of the library
	Tests       map[string]float64                   `json:"-"` // latest value of every floor test
	Foreseen    []TestForeseen                       `json:"-"` // what each floor test the student may do would tell
	LastTrained map[practice.Component]practice.Date `json:"-"`
	WallHoldS   float64                              `json:"-"` // longest hold at a wall lately, seconds; 0 unknown
	FirstDay    practice.Date                        `json:"-"` // of any practice; 0 with no log
	LastDay     practice.Date                        `json:"-"` // of any practice
	Days        []practice.Date                      `json:"-"` // days with practice, in order
}

// Holds is what the last weeks' free tries and holds in the open came to.
type Holds struct {
	WindowDays int                  `json:"window_days"`
	Attempts   int                  `json:"attempts"`
	Caught     int                  `json:"caught"`
	Falls      int                  `json:"falls"`
	Censored   int                  `json:"censored"`
	Excluded   int                  `json:"excluded"`
	Ends       map[practice.End]int `json:"ends"`   // how the tries ended, where it was written down
	Catch      *Chance              `json:"catch"`  // null: no tries
	Median     *Duration            `json:"median"` // null: no holds logged one by one
}

// Chance is a probability with its interval; Seconds is 0 for a catch rate.
type Chance struct {
	Seconds float64 `json:"seconds,omitempty"`
	P       float64 `json:"p"`
	Lo      float64 `json:"lo"`
	Hi      float64 `json:"hi"`
	Level   float64 `json:"level"`
	Method  string  `json:"method"`
}

// Duration is a length of hold with its interval; a bound the data do not
// reach is null.
type Duration struct {
	Seconds *float64 `json:"seconds"`
	Lo      *float64 `json:"lo"`
	Hi      *float64 `json:"hi"`
	Level   float64  `json:"level"`
	Method  string   `json:"method"`
	Holds   int      `json:"holds"`
}

// Milestone is the way to the next milestone.
type Milestone struct {
	ReachedSeconds float64 `json:"reached_seconds"` // 0: none is proven
	// ReachedOn is the day at whose end it was first proven; null: none is.
	ReachedOn   *practice.Date `json:"reached_on"`
	NextSeconds float64        `json:"next_seconds"` // 0: all are proven
	Proven      Proven         `json:"proven"`       // the evidence for the next
	Forecast    *Forecast      `json:"forecast"`     // null: not known yet
	// MisMarked is how many tries are marked cold that the log shows were not.
	MisMarked int `json:"marked_cold_but_warm"`
}

// Proven is the evidence that one cold try reaches the next milestone.
type Proven struct {
	Tries int `json:"tries"`
	// DaysSinceTry is how long ago the last of them was.
	DaysSinceTry int     `json:"days_since_try"`
	Passes       int     `json:"passes"`
	Days         int     `json:"days"`
	Places       int     `json:"places"`
	LowerBound   float64 `json:"lower_bound"`
	Declared     bool    `json:"declared"`
	Missing      Missing `json:"missing"`
}

// Missing is what the evidence lacks, at the least.
type Missing struct {
	Days   int `json:"days"`
	Passes int `json:"passes"` // in a row, from here
}

// Forecast is when the next milestone may come, in weeks; null is beyond the
// horizon of two years.
type Forecast struct {
	WeeksLo  *int    `json:"weeks_lo"`
	WeeksMid *int    `json:"weeks_mid"`
	WeeksHi  *int    `json:"weeks_hi"`
	Level    float64 `json:"level"`
	Held     float64 `json:"held"` // chance of weeks_lo to weeks_hi: weeks are whole, so it is level or more
}

// ComponentLevel is where one component stands.
type ComponentLevel struct {
	Name    practice.Component `json:"name"`
	Level   float64            `json:"level"` // logits
	SD      float64            `json:"sd"`    // logits
	Asked   *float64           `json:"asked"` // logits, what the next milestone asks; null: nothing
	PLimits float64            `json:"p_limits"`
	N       int                `json:"observations"`
}

// Progress is what the weekly residuals say.
type Progress struct {
	Weeks int      `json:"weeks"`
	Look  bool     `json:"look"` // slower than foretold: have a look
	Act   bool     `json:"act"`  // surely slower: change the plan
	Lag1  *float64 `json:"lag1_correlation"`
}

// Load is what the hands and the student carried.
type Load struct {
	WeekHandMinutes  float64         `json:"hand_minutes_last_week"`
	UsualHandMinutes float64         `json:"hand_minutes_usual"`
	Ceiling          float64         `json:"hand_minutes_ceiling"`
	Reason           load.StepReason `json:"ceiling_reason"`
	ThisWeek         *float64        `json:"session_load_7_days"`  // a day, effort x minutes
	Usually          *float64        `json:"session_load_28_days"` // a day
	Monotony         *float64        `json:"monotony"`
	Pain             load.Verdict    `json:"pain"`
	PainSince        *practice.Date  `json:"pain_since"`
	PainWhy          []PainEvidence  `json:"pain_evidence"`
	PainSites        []string        `json:"pain_sites,omitempty"`
	Refer            bool            `json:"refer"`
	AskMorning       []practice.Date `json:"ask_next_morning"`
}

// PainEvidence is one report's part in what pain allows.
type PainEvidence struct {
	Day    practice.Date   `json:"day"`
	Reason load.PainReason `json:"reason"`
	Level  *float64        `json:"level"` // nil where only a sign was told
}

// StopNow is a strain the student may not have in the week to come, and why.
type StopNow struct {
	No     practice.Strain `json:"no"`
	Since  practice.Date   `json:"since"`
	Source string          `json:"source"` // stop, restriction or pain
	Site   string          `json:"site,omitempty"`
}

// Where a stop comes from.
const (
	SourceStop        = "stop"
	SourceRestriction = "restriction"
	SourcePain        = "pain"
)

// DrillStanding is what the log says of one drill for this student.
type DrillStanding struct {
	P         float64 // success in one rep, averaged over what is not known
	Logit     float64
	SD        float64 // of the logit
	Passes    int     // ever
	Tries     int     // ever
	Helped    int     // marks
	Confusing int     // marks since the last "helped"
}

// Barred says whether the strain is ruled out for the week to come.
func (s *Standing) Barred(strain practice.Strain) bool {
	for _, st := range s.Stops {
		if st.No == strain {
			return true
		}
	}
	return false
}
