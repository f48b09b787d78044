package skill

import "slices"

// Why the effect of a drill is not estimated, beside [None].
const (
	// Untested: no student had two tests of the component with a set of the
	// drill between them.
	Untested Evidence = "untested"
	// Together: it was always done with other drills, in the same proportion.
	Together Evidence = "together"
	// Steady: everyone did it at the same pace, as time went by or in step with
	// all other practice: there is nothing to compare it with.
	Steady Evidence = "steady"
	// Returns: it went to students who had just tested low or high, and how much
	// of what followed was a return to the mean decides the answer.
	Returns Evidence = "returns"
)

// Tested is one independent measure of a student's component, and what was
// practised by then.
type Tested struct {
	Student, Day int
	Value, SD    float64   // logit
	Sets         []float64 // of each drill of the component, counted from any one day
	Other        float64   // sets of all other drills, likewise
}

// Effect is what a set of one drill gives its component.
type Effect struct {
	Learned    // logit a set, of the group; zero where it is not estimated
	Students   int
	Sets       float64 // between tests
	Evidence   Evidence
	With       []int // Together: the other drills
	Individual []Individual
}

// Individual is how far one student's effect is thought to differ from the
// group's: the estimate shrunk by Weight = tau²/(tau² + se²), se its doubt from
// this student's log alone and tau the sd between students.
type Individual struct {
	Student int
	Part    Learned // logit a set, beside the group's
	Weight  float64 // 0: nothing of it comes from the student's own log
}

// Growth is what a roster's tests say of one component.
type Growth struct {
	Effects  []Effect // by drill
	Drift    Learned  // logit a week without a set of anything
	Students int      // tested twice or more
	Tests    int      // of theirs
	Between  float64  // sd of an effect between students, logit a set
	Method   string
}

// FitGrowth estimates what a set of each drill of one component gives, for the
// group and for each student; at is what is known of the component at intake.
// All Sets have one value a drill.
//
// Model: a student's ability begins at the first test at N(level, sd²) and moves
// by drift·weeks + other·sets of other drills + sum_j (gamma_j + u_ij)·sets_j and
// a random walk; a test shows it with its sd. gamma_j ~ N(usual, omega²), u_ij ~
// N(0, tau²). Level, drift, other and usual have wide priors; omega, tau and a
// multiple of the component's noise are averaged over a grid by the probability
// each gives the tests, so their doubt is in the intervals. u_ij is the best
// linear predictor. Levels, not differences, are modelled: two differences that
// share a test are not independent, and because the first test is believed only
// as far as its sd allows, a return to the mean is expected, not credited.
//
// What the tests cannot tell apart is named and not estimated. Together and
// Steady: the tests would tell an effect to .05 logit a set were all else known,
// but do not with the other drills, time and other practice unknown too. Returns:
// the estimate and the one that believes first tests fully differ significantly
// and by more than half the estimate's sd (Hausman 1978, Econometrica 46:1251).
//
// Assumes one kind of test, effects that add up and do not fade, and a choice of
// drills that hangs on logged things alone; a drill's effect on other components
// is not looked at. Small samples: shrunk towards the usual drill and wide; Few
// under [LeastStudents] students, or where the tests would not tell the effect to
// .05 logit a set even were all else known: what is left is then mostly the priors.
//
// Panics on an sd that is not positive or a value that is not finite.
//
// Reference: Laird & Ware (1982), Biometrics 38:963; Robinson (1991), Stat Sci
// 6:15, for the predictor.
func FitGrowth(at Component, drills int, tested []Tested) Growth {
	check(at.SD > 0 && at.Noise > 0, "to learn effects, a component has a positive sd and a positive noise")
	g := Growth{Effects: make([]Effect, drills), Method: "linear mixed model, averaged over its variances"}
	courses := newCourses(drills, tested)
	for _, c := range courses {
		g.Students++
		g.Tests += len(c.value)
	}
	used := g.count(courses, tested)
	if len(used) == 0 {
		return g
	}
	m := mixed{at: at, courses: courses, drills: used}
	points := m.grid()
	for i, j := range used {
		g.Effects[j].Learned = average(points, column(i))
	}
	g.Drift = average(points, weeksColumn)
	for _, p := range points {
		g.Between += p.weight * p.between
	}
	g.individuals(&m, points)
	g.judge(&m, points)
	return g
}

// count fills in who did what between tests and gives the drills there are to
// estimate.
func (g *Growth) count(courses []course, tested []Tested) (used []int) {
	for j := range g.Effects {
		e := &g.Effects[j]
		for i := range courses {
			if c := &courses[i]; c.practised[j] {
				e.Students++
				e.Sets += c.sets[j][len(c.days)-1]
			}
		}
		switch {
		case e.Students > 0:
			used = append(used, j)
		case slices.ContainsFunc(tested, func(t Tested) bool { return t.Sets[j] > 0 }):
			e.Evidence = Untested
		default:
			e.Evidence = None
		}
	}
	return used
}
