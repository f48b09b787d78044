package cli

import (
	"context"
	"fmt"
	"os"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/vault"
	"aplomb/internal/words"
)

// backupCommand writes an encrypted backup.
type backupCommand struct {
	Folder string `arg:""`
	placeFlags
}

// Run writes it and lets go of old ones by the rule.
func (c *backupCommand) Run(env *Env) error {
	path, sum, removed, err := c.config(env).Backup(context.Background(), c.Folder)
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, words.English.Say("backup.done", "path", path, "lines", sum.Lines, "removed", len(removed)))
	return nil
}

// restoreCommand fills an empty place from a backup.
type restoreCommand struct {
	Backup   string `arg:""`
	Recovery string `placeholder:"FILE"`
	placeFlags
}

// Run restores, and forgets again who was erased since.
func (c *restoreCommand) Run(env *Env) error {
	recovery, err := recoveryKey(c.Recovery)
	if err != nil {
		return err
	}
	head, erased, listed, err := c.config(env).Restore(context.Background(), c.Backup, recovery)
	if err != nil {
		return err
	}
	b := words.English
	made := practice.Instant{UnixNano: head.Made.UnixNano()}
	fmt.Fprintln(env.Stdout, b.Say("restore.done", "path", c.Backup, "date", telling.LongDate(b, made.Date()), "clock", head.Made.UTC().Format("15:04")))
	switch {
	case erased > 0:
		fmt.Fprintln(env.Stdout, b.Say("restore.erased", "n", erased))
	case !listed:
		fmt.Fprintln(env.Stdout, b.Say("restore.unlisted"))
	}
	return nil
}

// verifyCommand looks through a backup, or through the store.
type verifyCommand struct {
	Backup   string `arg:"" optional:""`
	Recovery string `placeholder:"FILE"`
	placeFlags
}

// Run says whether everything is as it was written.
func (c *verifyCommand) Run(env *Env) error {
	b := words.English
	if c.Backup == "" {
		opened, err := c.config(env).VerifyStore(context.Background())
		if err != nil {
			return err
		}
		fmt.Fprintln(env.Stdout, b.Say("verify.store"))
		if !opened {
			fmt.Fprintln(env.Stdout, b.Say("verify.sealed"))
		}
		return nil
	}
	recovery, err := recoveryKey(c.Recovery)
	if err != nil {
		return err
	}
	head, sum, err := c.config(env).Verify(c.Backup, recovery)
	if err != nil {
		return err
	}
	made := practice.Instant{UnixNano: head.Made.UnixNano()}
	fmt.Fprintln(env.Stdout, b.Say("verify.backup", "path", c.Backup, "date", telling.LongDate(b, made.Date()), "clock", head.Made.UTC().Format("15:04"),
		"lines", sum.Lines))
	return nil
}

// recoveryKey reads the secret of a recovery key from a file; nil where none
// was named.
func recoveryKey(path string) (*vault.Key, error) {
	if path == "" {
		return nil, nil
	}
	raw, err := os.ReadFile(path)
	if err != nil {
		return nil, practice.Fault{Code: practice.NotRead, File: path, Err: err}
	}
	return vault.Recovery(string(raw))
}
