package app

import (
	"context"
	"errors"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// demoed is the demo being served, with its owner signed in to the browser.
func demoed(t *testing.T, b *tabOf) string {
	t.Helper()
	d, err := NewDemo(t.Context(), Config{Listen: "localhost:0", Log: quiet(), Now: time.Now}, "")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- d.Run(ctx) }()
	t.Cleanup(func() {
		stop()
		if err := errors.Join(<-done, d.Close()); err != nil {
			t.Error(err)
		}
	})
	b.open(d.URL + "/sign-in")
	b.fill("form", "email", d.Email, "password", d.Password)
	return d.URL
}

// keys types into what can have the focus.
func (b *tabOf) keys(at, keys string) {
	b.t.Helper()
	b.do(chromedp.SendKeys(chromedp.CSS(at), keys))
}

// enter presses the return key on a button and waits for the page that follows.
func (b *tabOf) enter(button string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 15*time.Second)
	defer cancel()
	if _, err := chromedp.RunResponse(ctx, chromedp.SendKeys(chromedp.CSS(button), "\r")); err != nil {
		b.t.Fatalf("%s: %v\n%s", button, err, b.text())
	}
}

// A student is taken in by keyboard alone: a fault keeps what was typed, a yes of
// the health screen stops, and the stop is cleared by name.
func TestIntakeInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/")
	b.enter("a[href='/intake']")
	b.keys("#name", "Odile Farrant")
	b.keys("#height_m", "17")
	b.keys("#minutes_mon", "40")
	for _, q := range []string{"symptoms", "disease", "pressure", "head", "neck", "operation", "bones", "pregnant", "hands", "growing"} {
		b.keys("[name=screen_"+q+"][value=no]", " ")
	}
	b.keys("[name=screen_eyes][value=yes]", " ")
	b.shoot("intake")
	b.enter("main form > button")
	b.reads("Nothing was kept yet", "Write metres, 0.8 to 2.5")
	b.shoot("intake-faults")
	b.do(chromedp.Clear(chromedp.CSS("#height_m")))
	b.keys("#height_m", "1,71")
	b.enter("main form > button")
	b.reads("A clinician comes first", "No going upside down, since")
	b.shoot("care")
	b.keys("#clear0-by", "Dr Lowe")
	b.enter("#stops ~ ul button")
	b.reads("by Dr Lowe")

	b.enter("main > p > a")
	b.reads("Odile Farrant", "Mon · 40 min a week")
	b.enter("a[href$='/change']")
	b.shoot("change")
	b.do(chromedp.Clear(chromedp.CSS("#goal")))
	b.keys("#goal", "Ten seconds in the park")
	b.enter("main form > button")
	b.reads("Ten seconds in the park")
}
