package web

import (
	"slices"

	"aplomb/internal/practice"
)

// question is one of the health screen, and what a yes rules out until a
// clinician has cleared it.
type question struct {
	id string
	no []practice.Strain
}

// screen is the health screen, in our own words. It asks and diagnoses nothing;
// what is kept of a yes is the stop, not the story.
//
// Symptoms, a known disease and its clearing within twelve months are the steps
// of Riebe et al. 2015 (screening before exercise; the twelve months from
// memory). What rules out going upside down: the eye after Baskaran et al. 2006,
// Jasien et al. 2015 and Cramer et al. 2013; brittle bones after Cramer et al.
// 2013; blood pressure, the head and the neck: common practice, no source. An
// operation within twelve weeks and a fresh injury: assumed. Pregnancy: for the
// falls, from a secondary source. Hands: the pain rule of package load, after
// Silbernagel et al. 2007; a growing wrist: after "Why wrist pain" 2006.
var screen = []question{
	{"symptoms", practice.Strains},
	{"disease", practice.Strains},
	{"pressure", practice.Strains},
	{"eyes", []practice.Strain{practice.Inverted}},
	{"head", []practice.Strain{practice.Inverted}},
	{"neck", []practice.Strain{practice.Inverted, practice.Overhead}},
	{"operation", practice.Strains},
	{"bones", []practice.Strain{practice.Inverted, practice.HandLoad}},
	{"pregnant", []practice.Strain{practice.Inverted}},
	{"hands", []practice.Strain{practice.Inverted, practice.HandLoad}},
	{"growing", []practice.Strain{practice.Inverted, practice.HandLoad}},
}

// screenFields are the questions, each to be answered; sent are the answers that
// were sent, with what is wrong with them.
func (v *visit) screenFields(s sent) (out []control) {
	for _, q := range screen {
		name := "screen_" + q.id
		f := field{Name: name, Label: v.say("screen." + q.id), Kind: "choice", Fault: s.faults[name]}
		for _, answer := range []string{"no", "yes"} {
			f.Options = append(f.Options, option{answer, v.say("answer." + answer), s.typed.Get(name) == answer})
		}
		out = append(out, control{field: f, ID: name})
	}
	return out
}

// screened is what the answers rule out, in the order of [practice.Strains];
// a question without an answer is a fault.
func (v *visit) screened(faults map[string]string) (no []practice.Strain) {
	said := map[practice.Strain]bool{}
	for _, q := range screen {
		switch v.typed("screen_" + q.id) {
		case "yes":
			for _, strain := range q.no {
				said[strain] = true
			}
		case "no":
		default:
			faults["screen_"+q.id] = v.say("screen.unanswered")
		}
	}
	return slices.DeleteFunc(slices.Clone(practice.Strains), func(s practice.Strain) bool { return !said[s] })
}
