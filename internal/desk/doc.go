// Package desk finds who needs the coach today, and says on what evidence.
//
// A notice is a fact about one student, computed from the standing and the log
// of one day, never stored: only what the coach decided about it is kept
// ([practice.Decision]). The bars are common practice, no source, unless said otherwise;
// how often they speak falsely is measured on simulated students.
package desk

import "aplomb/internal/practice"

// Kind is what a notice is about.
type Kind string

// Kinds of notice, the most pressing first.
const (
	Refer     Kind = "refer"     // pain or numbness that a clinician should look at
	Hurts     Kind = "hurts"     // pain that stops hand load, or holds it level
	Quiet     Kind = "quiet"     // no practice for longer than is usual
	Backwards Kind = "backwards" // a proven milestone is no longer held cold
	Stalled   Kind = "stalled"   // surely slower than foretold
	Ready     Kind = "ready"     // likely to pass the next milestone cold
	Back      Kind = "back"      // practised again after a gap
	Muddy     Kind = "muddy"     // a drill was marked confusing
	Slower    Kind = "slower"    // slower than foretold: have a look
	Hard      Kind = "hard"      // mostly tries that fail
	Bunched   Kind = "bunched"   // practice on one day of the week
	OneSided  Kind = "one-sided" // one component takes most of the sets
	Thin      Kind = "thin"      // many drills, few sets each
)

// Kinds is every kind, the most pressing first.
var Kinds = []Kind{Refer, Hurts, Quiet, Backwards, Stalled, Ready, Back, Muddy, Slower, Hard, Bunched, OneSided, Thin}

// Notice is one reason to look at one student.
type Notice struct {
	Student string `json:"student"`
	Kind    Kind   `json:"kind"`
	// About tells this occasion from others of its kind: what the coach decided
	// holds for the occasion, not for the next.
	About    string   `json:"about"`
	Evidence Evidence `json:"evidence"`
}

// Evidence is what a notice stands on; what does not belong to its kind is
// zero.
type Evidence struct {
	Since     practice.Date      // first day of it
	Days      int                // days since, or of the gap
	N, Of     int                // so many of so many
	Share     float64            // 0 to 1
	P, Lo, Hi float64            // a chance with its interval
	Seconds   float64            // of a milestone
	Level     float64            // of pain, 0 to 10
	Sites     []string           // where it hurts, where that is known
	Drill     string             // by id
	Component practice.Component // by name
	Day       practice.Weekday   // of the week
	Stops     bool               // pain stops hand load
}
