package rehearse

import (
	"aplomb/internal/learner"
	"aplomb/internal/practice"
)

// Study is what to rehearse: the same students under every policy.
type Study struct {
	Library  *practice.Library
	Params   learner.Params
	Flaws    learner.Flaws // of the logs; the zero value is perfect ones
	Policies []Policy
	Students int
	Weeks    int
	Seed     uint64
}

// world is that of the students of a number: each their own, so that the truth
// about drills differs from one to the next as far as the library's doubt says.
func (s Study) world(lib *practice.Library, number uint64) *world {
	w := newWorld(lib, s.Params, s.Seed+number)
	w.flaws = s.Flaws
	return w
}

// Outcome is the records of one policy, by student.
type Outcome struct {
	Policy  Policy
	Records []Record
}

// Run lets every student go through every policy. do runs do(0) to do(n-1),
// however it likes; step is called after each course.
func (s Study) Run(do func(n int, one func(i int)), step func()) ([]Outcome, error) {
	lib, err := known(s.Library)
	if err != nil {
		return nil, err
	}
	out := make([]Outcome, len(s.Policies))
	for p := range out {
		out[p] = Outcome{Policy: s.Policies[p], Records: make([]Record, s.Students)}
	}
	do(s.Students*len(s.Policies), func(i int) {
		p, number := i%len(s.Policies), i/len(s.Policies)
		w := s.world(lib, uint64(number))
		out[p].Records[number] = enroll(w, s.Policies[p], number, s.Seed).run(s.Weeks)
		step()
	})
	return out, nil
}
