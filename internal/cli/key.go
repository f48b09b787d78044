package cli

import (
	"context"
	"fmt"

	"aplomb/internal/words"
)

// keyCommand makes the key of the health notes, or another in its place.
type keyCommand struct {
	Do       keyDoes `arg:""`
	Recovery string  `placeholder:"FILE"`
	placeFlags
}

// keyDoes is what can be done with the key.
type keyDoes string

const (
	keyNew    keyDoes = "new"
	keyRotate keyDoes = "rotate"
)

// UnmarshalText reads it.
func (d *keyDoes) UnmarshalText(b []byte) (err error) {
	*d, err = choice([]keyDoes{keyNew, keyRotate}, string(b))
	return err
}

// Run makes the key and shows the recovery key once.
func (c *keyCommand) Run(env *Env) error {
	b := words.English
	lost, err := recoveryKey(c.Recovery)
	if err != nil {
		return err
	}
	config := c.config(env)
	make, done := config.NewKey, "key.new"
	if c.Do == keyRotate {
		make, done = func() (string, string, error) { return config.RotateKey(context.Background(), lost) }, "key.rotated"
	}
	path, recovery, err := make()
	if recovery != "" { // shown although something failed after it was made: it is kept nowhere
		fmt.Fprintln(env.Stdout, b.Say(done, "path", path))
		fmt.Fprintln(env.Stdout, b.Say("key.recovery"))
		fmt.Fprintln(env.Stdout, recovery)
	}
	return err
}
