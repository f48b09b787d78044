package cli

import (
	"errors"
	"fmt"
	"os"
	"strings"

	"aplomb/internal/practice"
	"aplomb/internal/week"
	"aplomb/internal/words"
)

// weekCommand solves one planning problem given as data.
type weekCommand struct {
	Problem string `arg:""`
	JSON    bool   `name:"json"`
}

// nearestInText is how many left-out drills the text lists.
const nearestInText = 10

// Run solves and prints.
func (c *weekCommand) Run(env *Env) error {
	problem, err := readProblem(c.Problem)
	if err != nil {
		return err
	}
	options := week.Options{Budget: weekBudget, Now: env.Now}
	result, err := week.Solve(problem, options)
	if err != nil {
		return err
	}
	if !result.Feasible && result.Proved {
		if result.Conflict, _, err = week.Conflict(problem, options); err != nil {
			return err
		}
	}
	if result.Feasible {
		if result.Why, err = week.Why(problem, result, options); err != nil {
			return err
		}
		nearest := nearestInText
		if c.JSON {
			nearest = 0 // all
		}
		if result.WhyNot, err = week.WhyNot(problem, result, nearest, options); err != nil {
			return err
		}
	}
	if c.JSON {
		return printJSON(env, result)
	}
	return printProblem(env, words.English, result)
}

func readProblem(path string) (week.Problem, error) {
	f, err := openFile(path)
	if err != nil {
		return week.Problem{}, err
	}
	defer f.Close()
	problem, err := week.Decode(f)
	var one week.Fault
	var many week.Faults
	switch {
	case errors.As(err, &many):
	case errors.As(err, &one):
		many = week.Faults{one}
	case err != nil:
		return week.Problem{}, practice.Fault{Code: practice.NotRead, File: path, Err: err}
	}
	if len(many) > 0 {
		return week.Problem{}, problemFaults{path, many}
	}
	return problem, nil
}

// problemFaults are the faults of a problem file, each with the file's name.
type problemFaults struct {
	path   string
	faults week.Faults
}

func (p problemFaults) Error() string { return p.path + ": " + p.faults.Error() }

// say is every fault on a line of its own, as the faults of a studio are said.
func (p problemFaults) say(b *words.Book) string {
	lines := make([]string, len(p.faults))
	for i, f := range p.faults {
		place := p.path
		if f.Line > 0 {
			place += b.Say("problem.line", "line", f.Line)
		}
		if f.Field != "" {
			place += b.Say("problem.field", "field", f.Field)
		}
		lines[i] = b.Say("problem.fault", "place", place, "problem", f.Problem, "remedy", f.Remedy)
	}
	return strings.Join(lines, "\n")
}

// openFile opens a file named on the command line; the error is a fault.
func openFile(path string) (*os.File, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, fileFault(path, err)
	}
	if info, err := f.Stat(); err != nil || info.IsDir() {
		f.Close()
		return nil, practice.Fault{Code: practice.NotRead, File: path, Err: err}
	}
	return f, nil
}

// fileFault says why a file could not be opened.
func fileFault(path string, err error) error {
	code := practice.NotRead
	if errors.Is(err, os.ErrNotExist) {
		code = practice.NoSuchPath
	}
	return practice.Fault{Code: code, File: path, Err: err}
}

func printProblem(env *Env, b *words.Book, r week.Result) error {
	p := newPage(env.Stdout)
	if !r.Feasible && !r.Proved {
		p.par(0, b.Say("week.cmd.unknown"))
		return p.flush()
	}
	if !r.Feasible {
		p.par(0, b.Say("week.cmd.none"))
		for _, group := range r.Conflict {
			p.par(2, group)
		}
		return p.flush()
	}
	if r.Proved {
		p.par(0, b.Say("week.cmd.worth", "objective", r.Objective, "ms", words.Number(r.Milliseconds)))
	} else {
		p.par(0, b.Say("week.cmd.bound", "objective", r.Objective, "bound", r.Bound))
	}
	if len(r.Drills) == 0 {
		p.par(0, b.Say("week.cmd.empty"))
	}
	for i, d := range r.Drills {
		p.hang("  ", "      ", b.Say("week.cmd.drill", "id", d.ID, "sets", d.Sets, "shorts", d.Shorts, "loss", loss(b, r.Why[i])))
	}
	for _, s := range r.Sessions {
		var list []string
		for _, d := range s.Drills {
			list = append(list, b.Say("week.cmd.item", "id", d.ID, "sets", d.Sets))
		}
		if list == nil {
			list = []string{b.Say("week.cmd.nosets")}
		}
		p.hang("  ", "      ", b.Say("week.cmd.session", "day", dayName(b, practice.Weekday(s.Day)), "list", b.List(list)))
	}
	if len(r.WhyNot) > 0 {
		p.par(0, b.Say("week.cmd.left"))
	}
	for _, l := range r.WhyNot {
		if l.Loss == nil {
			p.par(2, b.Say("week.cmd.never", "id", l.Drill))
		} else {
			p.par(2, b.Say("week.cmd.loss", "id", l.Drill, "loss", *l.Loss))
		}
	}
	return p.flush()
}

func loss(b *words.Book, l week.Loss) string {
	if l.Loss == nil {
		return b.Say("week.cmd.all")
	}
	return fmt.Sprint(*l.Loss)
}
