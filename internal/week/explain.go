package week

// Explain solves p and fills in the reasons: what each chosen drill is worth,
// what the nearest left-out candidates would cost (all of them if nearest is
// 0 or less), and the conflict if there is no week.
func Explain(p Problem, nearest int, o Options) (Result, error) {
	r, err := Solve(p, o)
	if err != nil {
		return Result{}, err
	}
	if !r.Feasible {
		if r.Proved {
			r.Conflict, _, err = Conflict(p, o)
		}
		return r, err
	}
	if r.Why, err = Why(p, r, o); err != nil {
		return Result{}, err
	}
	r.WhyNot, err = WhyNot(p, r, nearest, o)
	return r, err
}
