package library

import (
	"math"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// exit is the component that is shown before anything unsupported.
const exit practice.Component = "exit"

// Check lists what is wrong with a library: words it does not know, ids that
// are repeated or not there, drills whose own fields do not fit, prerequisites
// that go round in a circle, an unsupported inverted drill that may come before
// a way out was shown, a free try that is missing, shares of a free try's work
// that do not add up. Fields are named as
// drills[id].field. Nil means the library is sound.
func Check(lib *practice.Library) []practice.Fault {
	c := checker{lib: lib, components: map[practice.Component]bool{}, drills: map[string]practice.Drill{}, probes: map[string]practice.Probe{}}
	c.collect()
	for _, d := range lib.Drills {
		c.drill(d)
	}
	for _, p := range lib.Probes {
		c.probe(p)
	}
	c.milestones()
	c.freeTries()
	c.circles()
	c.exitFirst()
	return c.faults
}

type checker struct {
	lib        *practice.Library
	components map[practice.Component]bool
	drills     map[string]practice.Drill
	probes     map[string]practice.Probe
	faults     []practice.Fault
}

func (c *checker) add(code practice.Code, field, value, want string) {
	c.faults = append(c.faults, practice.Fault{Code: code, Field: field, Value: practice.Short(value), Want: want})
}

// collect finds what exists and what exists twice.
func (c *checker) collect() {
	shares, negative := 0.0, false
	for _, info := range c.lib.Components {
		if c.components[info.Name] {
			c.add(practice.RepeatedID, "components["+string(info.Name)+"]", string(info.Name), "each component once")
		}
		if info.Name == "" || !(info.Tau > 0) {
			c.add(practice.OutOfRange, "components["+string(info.Name)+"].tau", "", "a name, and tau over 0 sets")
		}
		c.components[info.Name] = true
		shares += info.TryWork
		negative = negative || !(info.TryWork >= 0)
	}
	if negative || shares != 0 && math.Abs(shares-1) > 1e-9 {
		c.add(practice.OutOfRange, "components.try_work", "", "shares of 0 or more that add up to 1, or none at all")
	}
	for _, d := range c.lib.Drills {
		if _, twice := c.drills[d.ID]; twice {
			c.add(practice.RepeatedID, at("drills", d.ID, "id"), d.ID, "each id once")
		}
		c.drills[d.ID] = d
	}
	for _, p := range c.lib.Probes {
		if _, twice := c.probes[p.ID]; twice {
			c.add(practice.RepeatedID, at("probes", p.ID, "id"), p.ID, "each id once")
		}
		c.probes[p.ID] = p
	}
}

func at(list, id, field string) string { return list + "[" + id + "]." + field }

// word checks one word of a vocabulary.
func word[T ~string](c *checker, field string, vocabulary []T, w T) {
	if _, err := practice.Word(vocabulary, string(w)); err != nil {
		c.faults = append(c.faults, practice.FieldFault(field, string(w), practice.UnknownWord, err))
	}
}

func (c *checker) component(field string, name practice.Component) {
	if c.components[name] {
		return
	}
	known := make([]string, len(c.lib.Components))
	for i, info := range c.lib.Components {
		known[i] = string(info.Name)
	}
	c.faults = append(c.faults, practice.Fault{Code: practice.UnknownWord, Field: field, Value: practice.Short(string(name)),
		Want: strings.Join(known, ", "), Near: practice.Nearest(string(name), known)})
}

func (c *checker) drill(d practice.Drill) {
	for _, f := range d.Check() {
		f.Field = at("drills", d.ID, f.Field)
		c.faults = append(c.faults, f)
	}
	c.component(at("drills", d.ID, "component"), d.Component)
	word(c, at("drills", d.ID, "kind"), practice.Kinds, d.Kind)
	word(c, at("drills", d.ID, "support"), practice.Supports, d.Support)
	word(c, at("drills", d.ID, "measure"), practice.Measures, d.Measure)
	for _, k := range d.Kit {
		word(c, at("drills", d.ID, "kit"), practice.Kits, k)
	}
	for _, s := range d.Strains {
		word(c, at("drills", d.ID, "strains"), practice.Strains, s)
	}
	cues := map[string]bool{}
	for _, cue := range d.Cues {
		word(c, at("drills", d.ID, "cues["+cue.ID+"].kind"), practice.CueKinds, cue.Kind)
		if !practice.ValidID(cue.ID) || cues[cue.ID] {
			c.add(practice.BadID, at("drills", d.ID, "cues"), cue.ID, "an id of its own for each cue of the drill")
		}
		if strings.TrimSpace(cue.Text) == "" {
			c.add(practice.MissingField, at("drills", d.ID, "cues["+cue.ID+"].text"), "", "what to say")
		}
		cues[cue.ID] = true
	}
	c.needs(d)
}

func (c *checker) needs(d practice.Drill) {
	for _, way := range ways(d) {
		if _, ok := c.drills[way.Drill]; way.Drill != "" && !ok {
			c.unknown(at("drills", d.ID, "needs"), way.Drill, keys(c.drills))
		}
		p, ok := c.probes[way.Test]
		if way.Test != "" && !ok {
			c.unknown(at("drills", d.ID, "needs"), way.Test, keys(c.probes))
		}
		if ok && way.Value != nil && !(*way.Value >= p.Min && *way.Value <= p.Max) {
			c.add(practice.OutOfRange, at("drills", d.ID, "needs"), way.Test, "a value the test can show")
		}
	}
}

func (c *checker) unknown(field, id string, known []string) {
	c.faults = append(c.faults, practice.Fault{Code: practice.UnknownID, Field: field, Value: practice.Short(id), Near: practice.Nearest(id, known)})
}

func (c *checker) probe(p practice.Probe) {
	c.component(at("probes", p.ID, "component"), p.Component)
	word(c, at("probes", p.ID, "link"), practice.Links, p.Link)
	if !practice.ValidID(p.ID) {
		c.add(practice.BadID, at("probes", p.ID, "id"), p.ID, "")
	}
	if !(p.Min < p.Max) {
		c.add(practice.OutOfRange, at("probes", p.ID, "max"), "", "more than min")
	}
	if p.Day < 1 || p.Day > 2 || p.Order < 1 {
		c.add(practice.OutOfRange, at("probes", p.ID, "day"), "", "day 1 or 2, and an order from 1 on")
	}
	if p.Link == practice.OfN && (p.N < 1 || p.Max != float64(p.N)) {
		c.add(practice.OutOfRange, at("probes", p.ID, "n"), "", "how many tries, and max the same")
	}
	if p.Link == practice.Linear && (p.Scale == 0 || !(p.SD > 0)) {
		c.add(practice.OutOfRange, at("probes", p.ID, "scale"), "", "scale other than 0 and sd over 0")
	}
	for _, k := range p.Kit {
		word(c, at("probes", p.ID, "kit"), practice.Kits, k)
	}
	for _, s := range p.Strains {
		word(c, at("probes", p.ID, "strains"), practice.Strains, s)
	}
}

// milestones rise, and ask each component at most once, in a known test.
func (c *checker) milestones() {
	last := 0.0
	for _, m := range c.lib.Milestones {
		if !(m.Seconds > last) {
			c.add(practice.OutOfRange, "milestones.seconds", "", "over 0 and rising")
		}
		last = m.Seconds
		asked := map[practice.Component]bool{}
		for _, ask := range m.Asks {
			p, ok := c.probes[ask.Test]
			switch {
			case !ok:
				c.unknown("milestones.asks", ask.Test, keys(c.probes))
			case asked[p.Component]:
				c.add(practice.Contradiction, "milestones.asks", ask.Test, "one test of each component")
			case !(ask.Value >= p.Min && ask.Value <= p.Max):
				c.add(practice.OutOfRange, "milestones.asks", ask.Test, "a value the test can show")
			}
			asked[p.Component] = true
		}
	}
}

func (c *checker) freeTries() {
	for _, id := range []string{practice.OpenTry, practice.ColdTry} {
		d, ok := c.drills[id]
		if !ok {
			c.add(practice.MissingField, at("drills", id, "id"), "", "every library has "+id)
			continue
		}
		if d.Support != practice.Open || d.Measure != practice.HoldFor {
			c.add(practice.Contradiction, at("drills", id, "support"), string(d.Support), "open, measured by hold")
		}
	}
}

// CheckOwn lists what is wrong with a library once a studio's own drills are laid
// over it, and was not before.
func CheckOwn(base *practice.Library, own []practice.Drill) []practice.Fault {
	before := Check(base)
	return slices.DeleteFunc(Check(Merge(base, own)), func(f practice.Fault) bool {
		return slices.ContainsFunc(before, func(b practice.Fault) bool {
			return b.Code == f.Code && b.Field == f.Field && b.Value == f.Value
		})
	})
}
