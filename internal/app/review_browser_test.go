package app

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/page"

	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"
)

// press sends a key to whatever has the focus and waits for the page that
// follows.
func (b *tabOf) key(keys string) {
	b.t.Helper()
	if _, err := chromedp.RunResponse(b.ctx, chromedp.KeyEvent(keys)); err != nil {
		b.t.Fatalf("%q: %v\n%s", keys, err, b.text())
	}
}

// The three weeks that wait, one of a student taken in today, are reviewed,
// changed and handed over by keyboard alone, from the desk to the last, with
// single keys; switched off, they do nothing.
func TestReviewByKeyboard(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/intake")
	b.keys("#name", "Odile Farrant")
	b.keys("#minutes_mon", "40")
	for _, q := range []string{"symptoms", "disease", "pressure", "eyes", "head", "neck", "operation", "bones", "pregnant", "hands", "growing"} {
		b.keys("[name=screen_"+q+"][value=no]", " ")
	}
	b.enter("main form > button")
	b.reads("Odile Farrant")
	b.open(url + "/")
	b.reads("3 weeks wait")
	b.enter("a[href='/review']")
	b.reads("Since last week", "Practised on", "Keys")
	b.shoot("review")
	names := map[string]bool{}
	for n := range 3 {
		names[strings.SplitN(b.text(), ": next week", 2)[0]] = true
		b.do(chromedp.KeyEvent("1"))
		b.key("k")
		b.reads("kept by you")
		b.do(chromedp.KeyEvent("2"))
		b.key("d")
		b.reads("left out by you")
		b.do(chromedp.KeyEvent("1"), chromedp.KeyEvent("c"), chromedp.KeyEvent(kb.End), chromedp.KeyEvent(" Hands quiet."))
		b.key("\r")
		b.reads("Hands quiet.")
		b.do(chromedp.KeyEvent("m"), chromedp.KeyEvent(kb.ArrowDown))
		b.key("\r")
		if n == 0 {
			b.swapsAndMoves()
		}
		b.key("h")
		b.reads("is handed over.")
		if n == 0 {
			b.shoot("review-next")
		}
	}
	if len(names) != 3 {
		t.Errorf("reviewed %v", names)
	}
	b.reads("0 weeks wait")
	at := b.text()
	b.do(chromedp.Click(chromedp.CSS("[data-keys-on]")), chromedp.Blur(chromedp.CSS("[data-keys-on]")), chromedp.KeyEvent("n"), chromedp.KeyEvent("h"))
	if b.text() != at {
		t.Error("switched off, a key did something")
	}
	b.open(url + "/review")
	at = b.text()
	b.do(chromedp.KeyEvent("h"))
	if b.text() != at {
		t.Error("switched off on this browser, a key did something on the next page")
	}
}

// swapsAndMoves puts another drill in the place of the third, brings one in that
// was left out, and moves the first session, by keyboard.
func (b *tabOf) swapsAndMoves() {
	b.t.Helper()
	kept := func() int { return strings.Count(b.text(), "kept by you") }
	n := kept()
	b.do(chromedp.KeyEvent("3"), chromedp.KeyEvent("s"), chromedp.KeyEvent(kb.Tab))
	b.key("\r")
	if kept() != n+1 {
		b.t.Errorf("swapped: %d kept, were %d\n%s", kept(), n, b.text())
	}
	b.do(chromedp.KeyEvent("b"), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Tab))
	b.key("\r")
	if kept() != n+2 {
		b.t.Errorf("brought in: %d kept, were %d\n%s", kept(), n+1, b.text())
	}
	b.reads("Tuesday 19:00")
	b.do(chromedp.KeyEvent("v"), chromedp.KeyEvent(kb.Tab), chromedp.KeyEvent(kb.Tab))
	b.key("\r")
	b.reads("Monday 19:00")
}

// A week that was handed over: its page, its versions, and on paper, where it
// takes one page, in the colours of paper.
func TestHandedOverWeekInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/students/orla/weeks")
	b.reads("weeks handed over")
	b.shoot("weeks")
	b.press("main .rows a")
	b.reads("Version 1", "Against the week of")
	b.shoot("week")
	b.press("main .acts a")
	b.reads("What, and how", "Wrists before, 0 to 10")
	b.shoot("sheet")
	if pages := b.paper("sheet"); pages != 1 {
		t.Errorf("%d pages", pages)
	}
}

// paper prints the page as A4 and says how many pages that takes.
func (b *tabOf) paper(name string) int {
	b.t.Helper()
	var pdf []byte
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		got, err := chromedp.Call(ctx, page.PrintToPDF, page.PrintToPDFParams{PreferCSSPageSize: new(true)})
		if err == nil {
			pdf = got.Data
		}
		return err
	}))
	if err := os.WriteFile(filepath.Join(b.t.ArtifactDir(), name+".pdf"), pdf, 0o600); err != nil {
		b.t.Fatal(err)
	}
	return bytes.Count(pdf, []byte("/Type /Page\n"))
}

// A group: what is shared, who differs and why; dropped for all by keyboard.
func TestGroupInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/")
	b.enter("a[href='/groups']")
	b.shoot("groups")
	b.enter("main .rows a")
	b.reads("Shared in the week of", "Members, and where they differ", "Own:")
	b.shoot("group")
	b.enter("#shared ~ ul button[value=drop]")
	b.reads("left out by you")
	b.enter("#shared ~ ul button[value=back]")
}
