package cli

import (
	"errors"
	"fmt"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// checkCommand reads a studio and lists its faults.
type checkCommand struct {
	Studio string `arg:""`
}

// Run prints every fault, or what was read.
func (c *checkCommand) Run(env *Env) error {
	b := words.English
	studio, err := openStudio(c.Studio)
	var faults practice.Faults
	if errors.As(err, &faults) {
		for _, f := range faults {
			fmt.Fprintln(env.Stdout, b.Fault(f))
		}
		fmt.Fprintln(env.Stdout, b.Say("check.faults", "n", len(faults)))
		return errFound
	}
	if err != nil {
		return err
	}
	var attempts, tallies, sessions, probes, marks, weeks int
	for _, log := range studio.Logs {
		attempts += len(log.Attempts)
		tallies += len(log.Tallies)
		sessions += len(log.Sessions)
		probes += len(log.Probes)
		marks += len(log.Marks)
		weeks += len(log.Weeks)
	}
	fmt.Fprintln(env.Stdout, b.Say("check.fine", "name", studio.Name, "students", len(studio.Students), "attempts", attempts,
		"tallies", tallies, "sessions", sessions, "probes", probes, "marks", marks, "weeks", weeks, "drills", len(studio.Library.Drills)))
	return nil
}
