package cli

import (
	"context"
	"fmt"
	"slices"

	"aplomb/internal/app"
	"aplomb/internal/words"
)

// selfcheckCommand explains a set-up that will not do.
type selfcheckCommand struct {
	doorFlags
}

// Run prints every finding; it fails where nothing could be served.
func (c *selfcheckCommand) Run(env *Env) error {
	found := app.Selfcheck(context.Background(), c.config(env))
	for _, f := range found {
		fmt.Fprintln(env.Stdout, f.Say(words.English))
	}
	if len(found) == 0 {
		fmt.Fprintln(env.Stdout, words.English.Say("selfcheck.sound"))
	}
	if slices.ContainsFunc(found, func(f app.Finding) bool { return f.Grave }) {
		return errFound
	}
	return nil
}
