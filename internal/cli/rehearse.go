package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"aplomb/internal/learner"
	"aplomb/internal/library"
	"aplomb/internal/picture"
	"aplomb/internal/practice"
	"aplomb/internal/rehearse"
	"aplomb/internal/words"
)

// rehearseCommand lets simulated students practise.
type rehearseCommand struct {
	Students    int      `default:"40"`
	Weeks       int      `default:"52"`
	Policy      []string `placeholder:"POLICY"`
	Seed        uint64   `default:"1"`
	Flaw        []string `placeholder:"NAME=RATE"`
	Sensitivity bool     ``
	SVG         string   `name:"svg" placeholder:"FILE"`
	JSON        bool     `name:"json"`
}

// usualPolicies are rehearsed where none is named.
var usualPolicies = []string{"planner", "timetable", "daily-short", "random"}

// The parts of a rehearsal beside the policies take fewer students: they are
// slower, or need no more.
const (
	stallStudents  = 100
	stallWeeks     = 40
	stallStops     = 20
	rosterStudents = 120
	rosterWeeks    = 36
	afterStudents  = 100
	passStudents   = 400
)

// rosterSeed sets the roster that is learned from apart from those who are judged.
const rosterSeed = 1 << 32

// passChances are the fixed chances at which false passes are counted.
var passChances = []float64{.5, .6, .65, .7, .8}

// rehearsed is the answer of `rehearse --json`.
type rehearsed struct {
	rehearse.Report
	Passes   []rehearse.PassReport   `json:"fixed_chance"`
	Stalls   rehearse.StallReport    `json:"stall"`
	Recovery rehearse.RecoveryReport `json:"roster"`
	After    rehearse.AfterReport    `json:"after_learning"`
}

// Run rehearses.
func (c *rehearseCommand) Run(env *Env) error {
	b := words.English
	study, err := c.study(b)
	if err != nil {
		return err
	}
	if c.Sensitivity {
		return c.sensitivity(env, b, study)
	}
	out, err := c.all(env, study)
	if err != nil {
		return err
	}
	if c.SVG != "" {
		svg := picture.Outcome(b.Say("rehearse.picture"), curves(&out.Report))
		if err := writeWhole(filepath.Clean(c.SVG), svg); err != nil {
			return practice.Fault{Code: practice.NotWritten, File: c.SVG, Err: err}
		}
	}
	if c.JSON {
		return printJSON(env, out)
	}
	return printRehearsed(env, b, &out)
}

func (c *rehearseCommand) study(b *words.Book) (rehearse.Study, error) {
	s := rehearse.Study{Library: library.Builtin(), Params: learner.Defaults(), Students: c.Students, Weeks: c.Weeks, Seed: c.Seed}
	if c.Students < 2 || c.Students > 100000 || c.Weeks < 4 || c.Weeks > 520 {
		return s, &misuseError{fmt.Errorf("%s", b.Say("misuse.rehearse")), "rehearse"}
	}
	var err error
	if s.Flaws, err = rehearse.ParseFlaws(c.Flaw); err != nil {
		return s, &misuseError{fmt.Errorf("%s", b.Say("misuse.flaw", "known", b.List(rehearse.FlawNames()))), "rehearse"}
	}
	names := c.Policy
	if len(names) == 0 {
		names = usualPolicies
	}
	for _, name := range slices.Compact(names) {
		p, err := rehearse.ParsePolicy(name)
		var schedule *rehearse.ScheduleError
		if errors.As(err, &schedule) {
			return s, &misuseError{fmt.Errorf("%s", b.Say("misuse.schedule", "value", practice.Short(schedule.Schedule))), "rehearse"}
		}
		if err != nil {
			return s, &misuseError{fmt.Errorf("%s", b.Say("misuse.policy", "value", practice.Short(name), "known", b.List(texts(rehearse.Contents)))), "rehearse"}
		}
		s.Policies = append(s.Policies, p)
	}
	return s, nil
}

// all runs the policies and what stands beside them.
func (c *rehearseCommand) all(env *Env, study rehearse.Study) (out rehearsed, err error) {
	part := func(students, weeks int) rehearse.Study {
		s := study
		s.Students, s.Weeks = min(students, study.Students), weeks
		return s
	}
	stalls, after, passes := part(stallStudents, stallWeeks), part(afterStudents, study.Weeks), part(passStudents, 0)
	roster := part(rosterStudents, rosterWeeks)
	roster.Policies = []rehearse.Policy{study.Policies[0].WithBattery()}
	roster.Students, roster.Seed = min(rosterStudents, 3*study.Students), study.Seed+rosterSeed
	passes.Students = min(passStudents, 10*study.Students)
	bar := progress(env, "progress.rehearse", study.Students*len(study.Policies)+stalls.Students+roster.Students+after.Students+passes.Students*len(passChances))
	outcomes, err := study.Run(parallel, bar)
	if err != nil {
		return out, err
	}
	out.Report = study.Summarise(outcomes)
	out.Passes = passes.Passes(passChances, parallel, bar)
	if out.Stalls, err = stalls.Stalls(stallStops, parallel, bar); err != nil {
		return out, err
	}
	var learned *practice.Library
	if out.Recovery, learned, err = roster.Recover(parallel, bar); err != nil {
		return out, err
	}
	out.After, err = after.After(outcomes[0], learned, parallel, bar)
	return out, err
}

func (c *rehearseCommand) sensitivity(env *Env, b *words.Book, study rehearse.Study) error {
	bar := progress(env, "progress.rehearse", study.Students*rehearse.Ends())
	runs, err := study.Sensitivity(parallel, bar)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env, runs)
	}
	return printSensitivity(env, b, study, runs)
}

// curves are the shares that reached the goal, week by week.
func curves(r *rehearse.Report) []picture.Rising {
	var out []picture.Rising
	for _, p := range r.Policies {
		c := picture.Rising{Name: p.Policy, Shares: []float64{0}}
		for _, s := range p.Curve {
			c.Shares = append(c.Shares, s.P)
		}
		out = append(out, c)
	}
	return out
}
