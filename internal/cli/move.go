package cli

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"os"
	"strings"

	"aplomb/internal/app"
	"aplomb/internal/folder"
	"aplomb/internal/words"
)

// importCommand keeps a studio folder.
type importCommand struct {
	Studio string `arg:""`
	placeFlags
}

// Run reads the folder into the store, all of it or nothing.
func (c *importCommand) Run(env *Env) error {
	if info, err := os.Stat(c.Studio); err != nil || !info.IsDir() {
		_, err := openStudio(c.Studio) // says what is wrong with it
		return err
	}
	dir := os.DirFS(c.Studio)
	studio, n, err := c.config(env).Import(context.Background(), dir, progress(env, "progress.import", linesIn(dir)))
	if err != nil {
		return err
	}
	b := words.English
	fmt.Fprintln(env.Stdout, b.Say("import.done", "name", studio.Name, "students", n.Students, "rows", n.Rows, "notes", n.Notes))
	if _, err := fs.Stat(dir, folder.LeftOutFile); err == nil {
		fmt.Fprintln(env.Stdout, b.Say("import.leftout"))
	}
	return nil
}

// linesIn is how many lines the rows of a studio folder have, for the bar.
func linesIn(dir fs.FS) (n int) {
	names, err := fs.Glob(dir, "*.csv")
	if err != nil {
		panic("cli: " + err.Error())
	}
	for _, name := range names {
		f, err := dir.Open(name)
		if err != nil {
			continue // the reader says what is wrong with it
		}
		buffer := make([]byte, 1<<16)
		for read, err := f.Read(buffer); err == nil; read, err = f.Read(buffer) {
			n += bytes.Count(buffer[:read], []byte{'\n'})
		}
		f.Close()
	}
	return n
}

// exportCommand writes a studio into a folder.
type exportCommand struct {
	Folder string `arg:""`
	Studio string `placeholder:"ID"`
	placeFlags
}

// Run writes the folder.
func (c *exportCommand) Run(env *Env) error {
	b := words.English
	studio, n, without, err := c.config(env).Export(context.Background(), c.Folder, c.Studio, b.Say("export.leftout"),
		func(students int) func() { return progress(env, "progress.export", students) })
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, b.Say("export.done", "name", studio.Name, "path", c.Folder, "students", n.Students, "rows", n.Rows, "notes", n.Notes))
	if without {
		fmt.Fprintln(env.Stdout, b.Say("export.leftout"))
	}
	return nil
}

// moveCommand copies a store into another place.
type moveCommand struct {
	From string `placeholder:"DIR|URL" required:""`
	To   string `placeholder:"DIR|URL" required:""`
	Key  string `placeholder:"FILE"`
}

// Run copies everything.
func (c *moveCommand) Run(env *Env) error {
	from, to := c.place(env, c.From), c.place(env, c.To)
	if err := app.Move(context.Background(), from, to); err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, words.English.Say("move.done", "from", plainPlace(c.From), "to", plainPlace(c.To)))
	return nil
}

func (c *moveCommand) place(env *Env, where string) app.Config {
	if isURL(where) {
		return placeFlags{DB: where, Key: c.Key}.config(env)
	}
	return placeFlags{Data: where, Key: c.Key}.config(env)
}

func isURL(where string) bool {
	return strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://")
}

// plainPlace is a place as it may be printed: the address of a database has a
// password in it.
func plainPlace(where string) string {
	if isURL(where) {
		return words.English.Say("move.database")
	}
	return where
}
