package week

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
)

// HalfMinutes is a length of time in half-minutes. In JSON it is a number of
// minutes, a multiple of one half.
type HalfMinutes int

// Minutes converts a whole number of minutes.
func Minutes(n int) HalfMinutes { return HalfMinutes(2 * n) }

// Minutes is the length in minutes.
func (h HalfMinutes) Minutes() float64 { return float64(h) / 2 }

// MarshalJSON writes minutes.
func (h HalfMinutes) MarshalJSON() ([]byte, error) {
	return strconv.AppendFloat(nil, h.Minutes(), 'f', -1, 64), nil
}

// UnmarshalJSON reads minutes; anything but a multiple of one half is refused.
func (h *HalfMinutes) UnmarshalJSON(raw []byte) error {
	var minutes float64
	if err := json.Unmarshal(raw, &minutes); err != nil {
		return fmt.Errorf("%s is not a number of minutes", raw)
	}
	twice := 2 * minutes
	if twice != math.Trunc(twice) || math.Abs(twice) > 1e9 {
		return fmt.Errorf("%s minutes is not a multiple of one half", raw)
	}
	*h = HalfMinutes(twice)
	return nil
}

// Kind says how hard a drill is for this student today.
type Kind string

// The kinds a drill of the program can have.
const (
	Easy      Kind = "easy"
	Challenge Kind = "challenge"
	Strength  Kind = "strength"
)

// Problem is one student's week as data. Times are half-minutes; Need and Tau
// are real numbers, every other figure is an integer.
type Problem struct {
	Name            string      `json:"name"`
	Components      []Component `json:"components"`
	Long            []Session   `json:"long_sessions"`
	Short           []Session   `json:"short_sessions"`
	HandWeek        HalfMinutes `json:"hand_minutes_week"` // limit over all sets, short sessions too
	MaxDrills       int         `json:"max_drills"`        // limit for the week
	MaxDrillsLong   int         `json:"max_drills_long"`   // limit for each long session
	DrillCost       int         `json:"drill_cost"`        // gain given up per chosen drill
	ContinuityBonus int         `json:"continuity_bonus"`  // gain per chosen drill of last week
	MixPenalty      int         `json:"mix_penalty"`       // gain given up per unit of unequal easy and challenge work
	Massing         []int       `json:"massing"`           // worth of the first 0, 1, 2... sets of a session, in hundredths of a set
	Drills          []Drill     `json:"drills"`
	Locks           []Lock      `json:"locks"`
	Bans            []string    `json:"bans"` // drill ids; repeats allowed
}

// Component is one thing a handstand is made of.
type Component struct {
	Name string  `json:"name"`
	Need float64 `json:"need"` // how much this student lacks it, from 0
	Tau  float64 `json:"tau"`  // sets of full value after which 63% of the need is met
}

// Session is a day's practice time and its limit of hand-loading minutes.
type Session struct {
	Day     int         `json:"day"` // 0 = Monday
	Minutes HalfMinutes `json:"minutes"`
	Hand    HalfMinutes `json:"hand_minutes"`
}

// Drill is a candidate for the week.
type Drill struct {
	ID        string      `json:"id"`
	Component string      `json:"component"`
	Kind      Kind        `json:"kind"`
	Set       HalfMinutes `json:"set_minutes"`   // one set with its rest
	Setup     HalfMinutes `json:"setup_minutes"` // once per session
	Hand      HalfMinutes `json:"hand_minutes"`  // hand-loading time per set
	Value     int         `json:"value"`         // worth of a set, in hundredths
	MinSets   int         `json:"min_sets"`
	MaxSets   int         `json:"max_sets"`
	WeekSets  int         `json:"week_sets"` // fewest sets over the week
	Bonus     int         `json:"bonus"`     // gain per set
	LastWeek  bool        `json:"last_week"`
}

// Lock is the coach's wish to have a drill in: at the main dose Sets, or at
// any dose where Sets is 0.
type Lock struct {
	Drill string `json:"drill"`
	Sets  int    `json:"sets"`
}
