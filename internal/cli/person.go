package cli

import (
	"context"
	"errors"
	"fmt"

	"aplomb/internal/app"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// personCommand hands out, or forgets, everything about one student.
type personCommand struct {
	Do     personDoes `arg:""`
	ID     string     `arg:""`
	Name   string     `placeholder:"NAME"`
	To     string     `placeholder:"FILE"`
	Studio string     `placeholder:"ID"`
	placeFlags
}

// personDoes is what can be done with a person's data.
type personDoes string

const (
	personExport personDoes = "export"
	personErase  personDoes = "erase"
)

// UnmarshalText reads it.
func (d *personDoes) UnmarshalText(b []byte) (err error) {
	*d, err = choice([]personDoes{personExport, personErase}, string(b))
	return err
}

// Run hands out or forgets.
func (c *personCommand) Run(env *Env) error {
	if c.Do == personErase {
		return c.erase(env)
	}
	b := words.English
	if c.To == "" {
		c.To = c.ID + ".zip"
	}
	today := telling.LongDate(b, practice.Instant{UnixNano: env.Now().UnixNano()}.Date())
	without, err := c.config(env).ExportPerson(context.Background(), c.Studio, c.ID, c.To, b.Say("person.readme", "date", today), b.Say("export.leftout"))
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, b.Say("person.exported", "path", c.To))
	if without {
		fmt.Fprintln(env.Stdout, b.Say("export.leftout"))
	}
	return nil
}

func (c *personCommand) erase(env *Env) error {
	b := words.English
	student, err := c.config(env).ErasePerson(context.Background(), c.Studio, c.ID, c.Name)
	switch {
	case errors.Is(err, app.ErrNotNamed) && c.Name == "":
		return &misuseError{errors.New(b.Say("person.name", "id", c.ID, "name", student.Name)), "person"}
	case errors.Is(err, app.ErrNotNamed):
		return &misuseError{errors.New(b.Say("person.othername", "id", c.ID, "name", student.Name)), "person"}
	case err != nil:
		return err
	}
	fmt.Fprintln(env.Stdout, b.Say("person.erased", "id", c.ID))
	return nil
}
