package cli

import (
	"context"
	"fmt"

	"aplomb/internal/app"
	"aplomb/internal/words"
)

// ownerCommand makes the link of an owner who cannot get in.
type ownerCommand struct {
	Do     ownerDoes `arg:""`
	Studio string    `placeholder:"ID"`
	Person string    `placeholder:"ID"`
	doorFlags
}

// ownerDoes is what can be done for an owner: link.
type ownerDoes string

// UnmarshalText reads it.
func (d *ownerDoes) UnmarshalText(b []byte) (err error) {
	*d, err = choice([]ownerDoes{"link"}, string(b))
	return err
}

// Run prints the link.
func (c *ownerCommand) Run(env *Env) error {
	config := c.config(env)
	link, person, expires, err := app.OwnerLink(context.Background(), config, c.Studio, c.Person)
	if err != nil {
		return err
	}
	b := words.English
	name := person.Name
	if name == "" {
		name = b.Say("owner.new")
	}
	fmt.Fprintln(env.Stdout, b.Say("owner.link", "name", name, "day", longDate(b, expires.Date()), "clock", expires.Time().Format("15:04")))
	fmt.Fprintln(env.Stdout, link)
	return nil
}
