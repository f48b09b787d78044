package assess

import (
	"slices"

	"aplomb/internal/practice"
)

// OpenCode is a reason why something cannot be told from a log.
type OpenCode string

// What a log cannot tell, with who or what it concerns here.
const (
	// NeverTested: a component of these students has no floor test.
	NeverTested OpenCode = "never-tested"
	// TestedOnce: these students practise a component and have one result of its
	// floor tests.
	TestedOnce OpenCode = "tested-once"
	// AlwaysTogether: these drills were always done together.
	AlwaysTogether OpenCode = "together"
	// SamePace: these drills went on at the same pace for everyone.
	SamePace OpenCode = "steady"
	// AfterALowTest: these drills went to who had just tested low.
	AfterALowTest OpenCode = "returns"
	// NoColdTry: these students practised lately without a cold try, so what stays
	// overnight cannot be told from what warms up.
	NoColdTry OpenCode = "no-cold"
	// TiredTests: every floor test of these students came after practice, so
	// fatigue cannot be told from forgetting.
	TiredTests OpenCode = "tired-tests"
	// GoneQuiet: these students stopped logging, and why is not in the log.
	GoneQuiet OpenCode = "quiet"
	// NoChance: nothing in the weeks handed over was left to chance.
	NoChance OpenCode = "no-chance"
	// CommonLevel: all abilities and all difficulties together, higher or lower.
	CommonLevel OpenCode = "level"
	// OutsideLife: what else students did meanwhile.
	OutsideLife OpenCode = "outside"
)

// Open is one thing the logs cannot tell.
type Open struct {
	Code      OpenCode           `json:"code"`
	Component practice.Component `json:"component,omitempty"`
	Students  []string           `json:"students,omitempty"`
	Drills    []string           `json:"drills,omitempty"`
}

// quietDays without practice make a student gone quiet; a guess.
const quietDays = 28

// open names what these logs cannot tell.
func (r *roster) open(effects []DrillEffect) []Open {
	out := r.untested()
	out = append(out, confounded(effects, r.sameDays())...)
	for _, c := range []struct {
		code OpenCode
		is   func(*pupil) bool
	}{{NoColdTry, (*pupil).neverCold}, {TiredTests, (*pupil).testedTired}, {GoneQuiet, (*pupil).quiet}} {
		if who := r.who(c.is); len(who) > 0 {
			out = append(out, Open{Code: c.code, Students: who})
		}
	}
	if !slices.ContainsFunc(r.pupils, func(p pupil) bool { return slices.ContainsFunc(p.Log.Weeks, leftToChance) }) {
		out = append(out, Open{Code: NoChance})
	}
	return append(out, Open{Code: CommonLevel}, Open{Code: OutsideLife})
}

func (r *roster) who(is func(*pupil) bool) (ids []string) {
	for i := range r.pupils {
		if is(&r.pupils[i]) {
			ids = append(ids, r.pupils[i].Student.ID)
		}
	}
	return ids
}

// untested is who practised a component without a floor test of it, and who with
// one result alone.
func (r *roster) untested() (out []Open) {
	for _, info := range r.lib.Components {
		for n, code := range []OpenCode{NeverTested, TestedOnce} {
			who := r.who(func(p *pupil) bool { return p.trained(r.lib, info.Name) && p.results(r.lib, info.Name) == n })
			if len(who) > 0 {
				out = append(out, Open{Code: code, Component: info.Name, Students: who})
			}
		}
	}
	return out
}

func (p *pupil) trained(lib *practice.Library, c practice.Component) bool {
	return slices.ContainsFunc(p.items, func(it item) bool { return it.drill >= 0 && lib.Drills[it.drill].Component == c })
}

func (p *pupil) results(lib *practice.Library, c practice.Component) (n int) {
	for _, t := range p.tests() {
		if probe, ok := lib.Probe(t.Test); ok && probe.Component == c {
			n++
		}
	}
	return n
}

// neverCold: free tries in the last weeks, none of them cold.
func (p *pupil) neverCold() bool {
	free, cold := false, false
	for i := range p.items {
		if it := &p.items[i]; it.day > p.AsOf-WindowDays && it.free() {
			free, cold = true, cold || it.cold
		}
	}
	return free && !cold
}

// testedTired: floor tests, each after practice of the same day.
func (p *pupil) testedTired() bool {
	tests := p.tests()
	for _, t := range tests {
		tired := slices.ContainsFunc(p.items, func(it item) bool {
			return it.day == p.clock(t.At) && it.at().UnixNano < t.At.UnixNano
		})
		if !tired {
			return false
		}
	}
	return len(tests) > 0
}

func (p *pupil) quiet() bool {
	return len(p.standing.Days) > 0 && p.AsOf-p.standing.LastDay >= quietDays
}

func leftToChance(w practice.Week) bool {
	for _, s := range w.Sessions {
		for _, b := range s.Blocks {
			if slices.ContainsFunc(b.Items, func(i practice.Item) bool { return i.Choice != nil }) {
				return true
			}
		}
	}
	return slices.ContainsFunc(w.DaysOff, func(i practice.Item) bool { return i.Choice != nil })
}
