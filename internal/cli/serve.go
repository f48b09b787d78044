package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"os/signal"
	"syscall"

	"aplomb/internal/app"
	"aplomb/internal/words"
)

// serveCommand serves the pages until it is told to stop.
type serveCommand struct {
	doorFlags
}

// Run opens everything, says where it is, and serves.
func (c *serveCommand) Run(env *Env) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	a, err := app.New(ctx, c.config(env))
	var found app.Findings
	if errors.As(err, &found) {
		return printFindings(env, found)
	}
	if err != nil {
		return err
	}
	defer a.Close()
	ways, err := a.Ways(ctx)
	if err != nil {
		return err
	}
	b := words.English
	fmt.Fprintln(env.Stdout, b.Say("serve.at", "url", a.URL))
	if !a.Sealed {
		fmt.Fprintln(env.Stdout, b.Say("serve.key"))
	}
	for _, w := range ways {
		if w.Studio == "" {
			fmt.Fprintln(env.Stdout, b.Say("serve.first", "link", w.Link))
		} else {
			fmt.Fprintln(env.Stdout, b.Say("serve.owner", "studio", w.Studio, "link", w.Link))
		}
	}
	if err := a.Run(ctx); err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, b.Say("serve.stopped"))
	return nil
}

// printFindings says on stderr what keeps a set-up from working.
func printFindings(env *Env, found app.Findings) error {
	for _, f := range found {
		fmt.Fprintln(env.Stderr, f.Say(words.English))
	}
	return errFound
}
