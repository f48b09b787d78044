// Package cli is the command line: one file a command, output to stdout, talk
// to stderr.
package cli

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"github.com/alecthomas/kong"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Env is the world a command runs in.
type Env struct {
	Args     []string // without the program's name
	Stdout   io.Writer
	Stderr   io.Writer
	Now      func() time.Time
	Terminal bool // whether a person watches stderr
}

// Exit statuses: all well; what was handed in is at fault; the command was
// called wrongly.
const (
	ok       = 0
	faulty   = 1
	misused  = 2
	maxTalks = 40 // faults printed by a command that is not `check`
)

type commands struct {
	Review    reviewCommand    `cmd:""`
	Holds     holdsCommand     `cmd:""`
	Week      weekCommand      `cmd:""`
	Check     checkCommand     `cmd:""`
	Drills    drillsCommand    `cmd:""`
	Advice    adviceCommand    `cmd:""`
	Learn     learnCommand     `cmd:""`
	Rehearse  rehearseCommand  `cmd:""`
	Serve     serveCommand     `cmd:""`
	Owner     ownerCommand     `cmd:""`
	Selfcheck selfcheckCommand `cmd:""`
	Demo      demoCommand      `cmd:""`
	Import    importCommand    `cmd:""`
	Export    exportCommand    `cmd:""`
	Move      moveCommand      `cmd:""`
	Key       keyCommand       `cmd:""`
	Person    personCommand    `cmd:""`
	Backup    backupCommand    `cmd:""`
	Restore   restoreCommand   `cmd:""`
	Verify    verifyCommand    `cmd:""`
	Help      helpCommand      `cmd:""`
}

// Run carries out one command and returns the exit status.
func Run(env *Env) int {
	if len(env.Args) == 0 || env.Args[0] == "--help" || env.Args[0] == "-h" {
		return status(env, (&helpCommand{}).Run(env))
	}
	var c commands
	parser, err := kong.New(&c, kong.Name("aplomb"), kong.NoDefaultHelp(), kong.Bind(env), kong.Writers(env.Stdout, env.Stderr))
	if err != nil {
		panic("cli: " + err.Error())
	}
	if slices.Contains(env.Args, "--help") || slices.Contains(env.Args, "-h") {
		return status(env, (&helpCommand{Command: env.Args[0]}).Run(env))
	}
	context, err := parser.Parse(env.Args)
	if err != nil {
		return status(env, misuse(env.Args, plainly(words.English, parser, env.Args, err)))
	}
	err = context.Run()
	var wrong *misuseError
	if errors.As(err, &wrong) {
		err = misuse(env.Args, wrong.err)
	}
	return status(env, err)
}

// misuseError is a command line that makes no sense, with the page that helps.
type misuseError struct {
	err  error
	page string
}

func (e *misuseError) Error() string { return e.err.Error() }

func misuse(args []string, err error) error {
	page := "page"
	if words.English.HasPage(args[0]) {
		page = args[0]
	}
	return &misuseError{err, page}
}

// status prints an error as a person reads it and picks the exit status.
func status(env *Env, err error) int {
	if err == nil {
		return ok
	}
	book := words.English
	var wrong *misuseError
	var faults practice.Faults
	var fault practice.Fault
	var problem problemFaults
	switch {
	case errors.As(err, &wrong):
		hint := "hint.page"
		if wrong.page != "page" {
			hint = "hint.command"
		}
		fmt.Fprintf(env.Stderr, "aplomb: %s\n%s\n", wrong.err, book.Say(hint, "command", wrong.page))
		return misused
	case errors.As(err, &faults):
		printFaults(env.Stderr, book, faults)
	case errors.As(err, &problem):
		fmt.Fprintln(env.Stderr, problem.say(book))
	case errors.As(err, &fault):
		fmt.Fprintln(env.Stderr, book.Fault(fault))
	case errors.Is(err, errFound):
	default:
		fmt.Fprintln(env.Stderr, book.Say("failed", "cause", err.Error()))
	}
	return faulty
}

// errFound ends a command that has already printed what is wrong.
var errFound = errors.New("cli: faults were found")

func printFaults(w io.Writer, book *words.Book, faults practice.Faults) {
	for i, f := range faults {
		if i == maxTalks {
			fmt.Fprintln(w, book.Say("faults.more", "n", len(faults)-maxTalks))
			return
		}
		fmt.Fprintln(w, book.Fault(f))
	}
}
