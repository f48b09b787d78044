package cli

import (
	"fmt"

	"aplomb/internal/words"
)

// helpCommand prints the manual, or the page of one command.
type helpCommand struct {
	Command string `arg:"" optional:""`
}

// Run prints the page.
func (c *helpCommand) Run(env *Env) error {
	page := c.Command
	if page == "" {
		page = "page"
	}
	if !words.English.HasPage(page) {
		return &misuseError{fmt.Errorf("%s", words.English.Say("help.unknown", "command", page)), "page"}
	}
	_, err := fmt.Fprint(env.Stdout, words.English.Page(page))
	return err
}
