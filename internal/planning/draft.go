package planning

import (
	"fmt"
	"math"
	"slices"
	"time"

	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// ModelVersion names the figures and rules a week was made with.
const ModelVersion = "3"

// Draft is a week before it is handed over, with why it is as it is.
type Draft struct {
	Week      practice.Week
	Problem   week.Problem
	Result    week.Result
	Reasons   map[string]Reason // for every chosen drill
	LeftOut   []LeftOut         // nearest first
	Share     Share
	Tests     []FloorTest        // worth more than practice in their minutes, in order
	Refused   []Refusal          // drills not offered
	Falls     practice.End       // the way most falls lately went; empty: no one way
	LookFor   []practice.Trouble // what to look for in them, the likeliest first
	NotLocked []string           // drills the coach wished that the student may not do
	Unmet     []Demand           // demands that cannot all be met; the wishes among them were set aside
	Group     GroupPart
	MoreTime  *float64 // what five minutes more in each long session add, as a share of the week's worth; nil: not asked or not known
	Spare     []Spare
	Fill      week.Fill // how full the long sessions are and, under half, why
	Empty     EmptyCode // why nothing was planned
}

// EmptyCode is why a week has no drills.
type EmptyCode string

// Why a week is empty.
const (
	NotEmpty       EmptyCode = ""
	NoSessions     EmptyCode = "no-sessions"     // the student gave no times
	Away           EmptyCode = "away"            // away on every day they gave
	TooShort       EmptyCode = "too-short"       // no session leaves time to practise
	NothingFits    EmptyCode = "nothing-fits"    // no drill fits the limits
	NothingAllowed EmptyCode = "nothing-allowed" // no drill is allowed
)

// Reason is why a drill is in the week.
type Reason struct {
	Component practice.Component
	PLimits   float64
	Known     bool // the limiter is known
	P         float64
	Kind      week.Kind
	Loss      *float64 // what the week would lose without it, as a share of its worth; nil: not asked
	LastWeek  bool
	Helped    bool
	Muddy     bool
	Locked    bool
	Shared    bool // the group's
}

// LeftOut is a drill the student may do that is not in the week, and what
// forcing it in would cost.
type LeftOut struct {
	Drill  string
	Loss   *int    // nil: no week has it
	Share  float64 // Loss as a share of the week's worth
	Proved bool
}

// Demand is one of several that cannot all be met: a rule of the plan by the
// name package week gives it, or a drill the coach wished for.
type Demand struct {
	Rule  string
	Drill string
}

// Spare is practice minutes of a long session that nothing fills.
type Spare struct {
	Day     practice.Weekday
	Minutes float64
}

// Solver is how a draft solves its program: budget and clock of the exact
// plan, and how many of the left-out drills to price (0 none, -1 all).
type Solver struct {
	Budget  time.Duration
	Now     func() time.Time
	LeftOut int
}

// Make drafts the student's week. The error is a fault of the program: a week
// that cannot be filled is a draft that says why.
func Make(in Input, solver Solver) (Draft, error) {
	d := Draft{Share: in.share()}
	d.Week = practice.Week{Student: in.Student.ID, ISOWeek: in.Week, Version: in.nextVersion(), Status: practice.Draft,
		AsOf: in.Standing.AsOf, Library: in.Library.Version, Model: ModelVersion, Sessions: []practice.PlannedSession{}}
	var offers []Offer
	offers, d.Refused = in.Offers()
	d.lookFor(&in, offers)
	stretches := in.stretches(offers)
	frames := in.frames(d.Share.Of, in.offersTries(offers), len(stretches) > 0)
	if in.triesHand(frames) > in.ceiling() {
		frames = in.frames(d.Share.Of, false, len(stretches) > 0)
	}
	d.Empty = in.emptyFrames(frames)
	if d.Empty == NotEmpty {
		var hand float64
		d.Tests, hand = in.tests(offers, frames, in.hand(frames))
		d.Problem = in.problem(offers, frames, hand)
		d.NotLocked = in.locks(&d.Problem)
		if err := d.solve(&in, solver); err != nil {
			return Draft{}, err
		}
		if len(d.Tests) > 0 && (len(d.Unmet) > 0 || d.Empty != NotEmpty) {
			in.Settings.TestMinutes = 0 // a test takes no wish's place, and no week's
			return Make(in, solver)
		}
	}
	in.write(&d, frames, offers, stretches)
	return d, nil
}

func (in *Input) offersTries(offers []Offer) bool {
	return slices.ContainsFunc(offers, func(o Offer) bool { return in.Library.Drills[o.Index].ID == practice.OpenTry })
}

// hand is the week's minutes on the hands that are left for the plan once the
// free tries are taken off; a lighter week is lighter on the hands too.
func (in *Input) hand(frames []frame) float64 {
	return math.Max(0, in.ceiling()-in.triesHand(frames))
}

// ceiling is the most minutes on the hands the week may have.
func (in *Input) ceiling() float64 {
	return in.Standing.Load.Ceiling * math.Min(1, in.share().Of)
}

func (in *Input) nextVersion() int {
	version := 1
	for _, w := range in.Weeks {
		if w.ISOWeek == in.Week {
			version = max(version, w.Version+1)
		}
	}
	return version
}

func (in *Input) emptyFrames(frames []frame) EmptyCode {
	switch {
	case len(in.Student.Slots) == 0:
		return NoSessions
	case len(frames) == 0:
		return Away
	case !slices.ContainsFunc(frames, func(f frame) bool { return f.long }):
		return TooShort
	}
	return NotEmpty
}

// solve finds the exact plan, setting aside the wishes of a conflict, and
// checks it against the independent evaluator.
func (d *Draft) solve(in *Input, solver Solver) error {
	if len(d.Problem.Drills) == 0 {
		d.Empty = NothingAllowed
		return nil
	}
	options := week.Options{Budget: solver.Budget, Now: solver.Now, Habits: habits(in.Library)}
	result, err := d.solveLocked(options)
	if err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	d.Result = result
	if !result.Feasible || len(result.Drills) == 0 {
		d.Empty = NothingFits
		d.Fill, err = week.Filling(d.Problem, result, options)
		return err
	}
	worth, violations := week.Evaluate(d.Problem, result.Plan)
	if worth != result.Objective || len(violations) > 0 {
		return fmt.Errorf("planning: the week of %s fails its check: %d against %d, %v", in.Student.ID, result.Objective, worth, violations)
	}
	d.Group.split(in, result)
	if d.Fill, err = week.Filling(d.Problem, result, options); err != nil {
		return fmt.Errorf("planning: the week of %s: %w", in.Student.ID, err)
	}
	return d.explain(in, options, solver.LeftOut)
}

// solveLocked solves the program; where its demands conflict it says which, and
// sets the coach's wishes aside.
func (d *Draft) solveLocked(options week.Options) (week.Result, error) {
	result, err := week.Solve(d.Problem, options)
	if err != nil || result.Feasible || len(d.Problem.Locks) == 0 {
		return result, err
	}
	if err := d.conflict(options); err != nil {
		return week.Result{}, err
	}
	d.Problem.Locks = []week.Lock{}
	return week.Solve(d.Problem, options)
}

// conflict fills Unmet with the smallest set of demands that cannot all be met.
func (d *Draft) conflict(options week.Options) error {
	names, _, err := week.Conflict(d.Problem, options)
	if err != nil {
		return err
	}
	for _, name := range names {
		var n int
		if _, err := fmt.Sscanf(name, "lock #%d", &n); err == nil {
			d.Unmet = append(d.Unmet, Demand{Drill: d.Problem.Locks[n-1].Drill})
		} else {
			d.Unmet = append(d.Unmet, Demand{Rule: name})
		}
	}
	return nil
}

// troubles is how many things to look for are worth a coach's eye at once.
const troubles = 2

// lookFor picks what to look for, where the falls of the last weeks mostly went
// one way.
func (d *Draft) lookFor(in *Input, offers []Offer) {
	end, one := library.OneWay(in.Standing.Holds.Ends)
	if !one {
		return
	}
	d.Falls = end
	var limits map[practice.Component]float64
	if in.Standing.LimiterKnown {
		limits = map[practice.Component]float64{}
		for _, c := range in.Standing.Components {
			limits[c.Name] = c.PLimits
		}
	}
	may := func(drill string) bool {
		return slices.ContainsFunc(offers, func(o Offer) bool { return in.Library.Drills[o.Index].ID == drill })
	}
	d.LookFor = library.LookFor(library.Advice().Troubles, end, limits, may, troubles)
}
