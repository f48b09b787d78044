package week

// Result is an answer to a [Problem]. It marshals as `aplomb week --json`.
type Result struct {
	Feasible  bool `json:"feasible"`
	Objective int  `json:"objective"` // 0 where no week was found
	Bound     int  `json:"bound"`     // no week is worth more; equals Objective where proved
	Proved    bool `json:"proved"`    // the week is optimal, or there is none
	Plan
	Why          []Loss   `json:"why"`
	WhyNot       []Loss   `json:"why_not"`
	Conflict     []string `json:"conflict"`
	Milliseconds float64  `json:"milliseconds"` // of the proof alone
}

// Plan is a week: the main list and what is done in which session.
type Plan struct {
	Drills   []Choice  `json:"drills"`   // in file order
	Sessions []Planned `json:"sessions"` // by day, long before short
}

// Choice is a drill of the main list.
type Choice struct {
	ID     string `json:"id"`
	Sets   int    `json:"sets"`   // main dose: sets in the longest session
	Shorts int    `json:"shorts"` // short sessions that repeat it
}

// Planned is one session of the week.
type Planned struct {
	Day    int    `json:"day"`
	Length Length `json:"length"`
	Index  int    `json:"index"`  // position in long_sessions or short_sessions, from 0
	Drills []Dose `json:"drills"` // in the order of practice
}

// Length says which list of the problem a session comes from.
type Length string

// The two lengths of a session.
const (
	LongSession  Length = "long"
	ShortSession Length = "short"
)

// Dose is a drill within one session.
type Dose struct {
	ID   string `json:"id"`
	Sets int    `json:"sets"`
}

// Loss is what a wish costs: the objective lost when a drill is taken out of
// the week, or forced into it. It can be negative where a lock holds the week
// down.
type Loss struct {
	Drill  string `json:"drill"`
	Loss   *int   `json:"loss"`   // null: no week meets the wish
	Proved bool   `json:"proved"` // false: the time ran out, Loss is the best found
}
