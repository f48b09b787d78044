// Command aplomb is the working desk of a hand-balancing coach.
package main

import (
	"os"
	"time"
	_ "time/tzdata" // time zones where the machine has none

	"aplomb/internal/cli"
)

func main() {
	os.Exit(cli.Run(&cli.Env{
		Args:     os.Args[1:],
		Stdout:   os.Stdout,
		Stderr:   os.Stderr,
		Now:      time.Now,
		Terminal: isTerminal(os.Stderr),
	}))
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
