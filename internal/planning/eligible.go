package planning

import (
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// RefusalCode is why a drill is not offered.
type RefusalCode string

// Why a drill is not offered.
const (
	RuledOut   RefusalCode = "ruled-out"   // by a stop, a restriction or pain
	Resting    RefusalCode = "resting"     // it works on what hurts
	NoKit      RefusalCode = "no-kit"      // a thing the student does not have
	NotShown   RefusalCode = "not-shown"   // something comes first
	TooHard    RefusalCode = "too-hard"    // it would fail more often than not
	StillMuddy RefusalCode = "still-muddy" // marked confusing twice running
	Banned     RefusalCode = "banned"      // the coach left it out
	Retired    RefusalCode = "retired"     // the studio does not use it any more
)

// Refusal is why one drill is not offered to a student.
type Refusal struct {
	Drill  string
	Code   RefusalCode
	Strain practice.Strain // RuledOut
	Source string          // RuledOut: stop, restriction or pain
	Site   string          // Resting
	Kit    practice.Kit    // NoKit
	Need   *practice.Need  // NotShown
	P      float64         // TooHard
}

// Offer is a drill a student may do.
type Offer struct {
	Index int // in the library
	P     float64
	Muddy bool // marked confusing once: it wants a fresh cue
}

// Offers splits the library into what the student may do in the week to come
// and what not, with the first reason that holds. Stops come first: nothing
// gets past them.
func (in *Input) Offers() (offers []Offer, refused []Refusal) {
	banned := map[string]bool{}
	for _, w := range in.wishes() {
		for _, id := range w.Bans {
			banned[id] = true
		}
	}
	for i := range in.Library.Drills {
		d := &in.Library.Drills[i]
		r, no := in.refuse(i, d)
		if !no && banned[d.ID] {
			r, no = Refusal{Code: Banned}, true
		}
		if no {
			r.Drill = d.ID
			refused = append(refused, r)
			continue
		}
		ds := &in.Standing.Drills[i]
		offers = append(offers, Offer{Index: i, P: ds.P, Muddy: ds.Confusing == 1})
	}
	return offers, refused
}

func (in *Input) refuse(i int, d *practice.Drill) (Refusal, bool) {
	for _, stop := range in.Standing.Stops {
		if d.Has(stop.No) {
			return Refusal{Code: RuledOut, Strain: stop.No, Source: stop.Source}, true
		}
		if rests(stop, in.site(d.Component)) {
			return Refusal{Code: Resting, Site: stop.Site}, true
		}
	}
	if d.Retired {
		return Refusal{Code: Retired}, true
	}
	for _, kit := range d.Kit {
		if !in.has(kit) {
			return Refusal{Code: NoKit, Kit: kit}, true
		}
	}
	for n := range d.Needs {
		if !in.shown(d.Needs[n]) {
			return Refusal{Code: NotShown, Need: &d.Needs[n]}, true
		}
	}
	ds := &in.Standing.Drills[i]
	if ds.Confusing >= 2 {
		return Refusal{Code: StillMuddy}, true
	}
	if d.Kind != practice.Mobility && !practice.FreeTry(d.ID) && ds.P < in.Settings.OfferedFrom {
		return Refusal{Code: TooHard, P: ds.P}, true
	}
	return Refusal{}, false
}

// rests says whether a stop rests this part of the body: it hurts.
func rests(stop assess.StopNow, site string) bool {
	return stop.Source == assess.SourcePain && stop.Site != "" && stop.Site == site
}

// resting says whether what a component is about hurts.
func (in *Input) resting(c practice.Component) bool {
	return slices.ContainsFunc(in.Standing.Stops, func(s assess.StopNow) bool { return rests(s, in.site(c)) })
}

// site is the part of the body a component is about.
func (in *Input) site(c practice.Component) string {
	for _, info := range in.Library.Components {
		if info.Name == c {
			return info.Site
		}
	}
	return ""
}

// shown says whether any way of the need is on record.
func (in *Input) shown(n practice.Need) bool {
	return slices.ContainsFunc(n.Any, func(s practice.Shown) bool {
		if s.Proven > 0 {
			return in.Standing.Milestone.ReachedSeconds >= s.Proven
		}
		if s.Drill != "" {
			i := slices.IndexFunc(in.Library.Drills, func(d practice.Drill) bool { return d.ID == s.Drill })
			return i >= 0 && in.Standing.Drills[i].Passes >= s.Passes
		}
		value, tested := in.Standing.Tests[s.Test]
		probe, known := in.Library.Probe(s.Test)
		if !tested || !known {
			return false
		}
		if probe.Link == practice.Linear && probe.Scale < 0 {
			return value <= *s.Value
		}
		return value >= *s.Value
	})
}
