package assess

import (
	"math"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/skill"
)

// TestForeseen is what a floor test may show, before it is taken.
type TestForeseen struct {
	Test      string
	Component int     // place in the standing's components
	LastsDays float64 // until the component is as uncertain again; +Inf: never
	Results   []TestResult
}

// TestResult is one result a test may have and where it would leave the student.
type TestResult = skill.Result

// mayTest are the floor tests the student may do and has the kit for.
func (e *estimator) mayTest(st *Standing) (out []practice.Probe) {
	for _, p := range e.s.Library.Probes {
		if !slices.ContainsFunc(p.Strains, st.Barred) && !slices.ContainsFunc(p.Kit, e.lacks) {
			out = append(out, p)
		}
	}
	return out
}

// probeNext is the floor test whose result would tell most about what limits,
// of those the student may do; empty where none would.
func (e *estimator) probeNext(asked []float64, tests []practice.Probe) string {
	sd := make([]float64, len(asked))
	test := make([]string, len(asked))
	for i := range sd {
		sd[i] = math.Inf(1)
	}
	for _, p := range tests {
		if k := e.comps.place[p.Component]; probeSD(p) < sd[k] {
			sd[k], test[k] = probeSD(p), p.ID
		}
	}
	tells, err := e.comps.filter.Telling(asked, sd)
	if err != nil || len(tells) == 0 || tells[0].Bits <= 0 {
		return ""
	}
	return test[tells[0].Component]
}

// foresee is what each of the tests may show, of the components the milestone
// asks something of.
func (e *estimator) foresee(asked []float64, tests []practice.Probe) []TestForeseen {
	var of []skill.Test
	var out []TestForeseen
	for _, p := range tests {
		k := e.comps.place[p.Component]
		if math.IsInf(asked[k], -1) {
			continue
		}
		of = append(of, skill.Test{Component: k, SD: e.comps.doubt(p)})
		out = append(out, TestForeseen{Test: p.ID, Component: k})
	}
	seen, err := e.comps.filter.Foresee(asked, of)
	if err != nil {
		return nil // nothing is asked: no test tells what limits
	}
	for i := range out {
		out[i].LastsDays, out[i].Results = seen[i].Lasts, seen[i].Results
	}
	return out
}

// doubt is the sd of one result in logits for this student: passes in n tries
// tell less the further the student is from passing half of them.
func (c *components) doubt(p practice.Probe) float64 {
	if p.Link != practice.OfN {
		return p.SD
	}
	chance := c.filter.Success(c.test[p.ID], 0).P
	return math.Hypot(p.SD, 1/math.Sqrt(float64(p.N)*chance*(1-chance)))
}

func (e *estimator) lacks(kit practice.Kit) bool { return !slices.Contains(e.s.Student.Kit, kit) }

// probeSD is the doubt of one result in logits. A count of passes in n tries
// is taken at even chances, where it tells most: 1 / sqrt(n/4).
func probeSD(p practice.Probe) float64 {
	if p.Link == practice.OfN {
		return math.Hypot(p.SD, 2/math.Sqrt(float64(p.N)))
	}
	return p.SD
}
