package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"os/signal"
	"runtime"
	"syscall"

	"aplomb/internal/app"
	"aplomb/internal/words"
)

// demoCommand shows the pages on an invented studio.
type demoCommand struct {
	Keep   string `placeholder:"DIR"`
	Listen string `placeholder:"ADDR"`
}

// Run invents the studio, says how to look at it, and serves it until it is
// told to stop.
func (c *demoCommand) Run(env *Env) error {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	b := words.English
	fmt.Fprintln(env.Stderr, b.Say("demo.begins"))
	config := app.Config{Listen: c.Listen, Now: env.Now, Log: slog.New(slog.NewTextHandler(io.Discard, nil))}
	d, err := app.NewDemo(ctx, config, c.Keep)
	var found app.Findings
	if errors.As(err, &found) {
		return printFindings(env, found)
	}
	if err != nil {
		return err
	}
	fmt.Fprintln(env.Stdout, b.Say("demo.at", "url", d.URL))
	fmt.Fprintln(env.Stdout, b.Say("demo.enter", "email", d.Email, "password", d.Password))
	if env.Terminal {
		browse(ctx, d.URL)
	}
	err = errors.Join(d.Run(ctx), d.Close())
	if err != nil {
		return err
	}
	if c.Keep != "" {
		fmt.Fprintln(env.Stdout, b.Say("demo.kept", "path", c.Keep))
	} else {
		fmt.Fprintln(env.Stdout, b.Say("demo.gone"))
	}
	return nil
}

// browse opens the address in the person's browser, where there is one; the
// address is on the screen in any case.
func browse(ctx context.Context, url string) {
	open := map[string][]string{"darwin": {"open"}, "windows": {"rundll32", "url.dll,FileProtocolHandler"}}[runtime.GOOS]
	if open == nil {
		if os.Getenv("DISPLAY") == "" && os.Getenv("WAYLAND_DISPLAY") == "" {
			return
		}
		open = []string{"xdg-open"}
	}
	if _, err := exec.LookPath(open[0]); err != nil {
		return
	}
	if err := exec.CommandContext(ctx, open[0], append(open[1:], url)...).Start(); err != nil {
		return
	}
}
