package rehearse

import "aplomb/internal/learner"

// Moved is one parameter of the learner at one end of its range.
type Moved struct {
	Parameter string       `json:"parameter"` // empty: the defaults
	Unit      string       `json:"unit,omitempty"`
	Value     float64      `json:"value"`
	Default   float64      `json:"default"`
	Report    PolicyReport `json:"report"`
}

// Ends is how many runs a sensitivity table takes, the defaults among them.
func Ends() int { return 1 + 2*len(learner.Ranges()) }

// Sensitivity runs the study's first policy with the defaults and with every
// parameter at either end, one at a time.
func (s Study) Sensitivity(do func(n int, one func(i int)), step func()) ([]Moved, error) {
	s.Policies = s.Policies[:1]
	runs := []Moved{{}}
	params := []learner.Params{s.Params}
	for _, r := range learner.Ranges() {
		for _, v := range []float64{r.Low, r.High} {
			p, err := s.Params.With(r.Name, v)
			if err != nil {
				return nil, err
			}
			runs = append(runs, Moved{Parameter: r.Name, Unit: r.Unit, Value: v, Default: r.Default})
			params = append(params, p)
		}
	}
	for i := range runs {
		s.Params = params[i]
		outcomes, err := s.Run(do, step)
		if err != nil {
			return nil, err
		}
		runs[i].Report = s.Summarise(outcomes).Policies[0]
	}
	return runs, nil
}
