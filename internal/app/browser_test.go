package app

import (
	"context"
	"io"
	"log/slog"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/webauthn"
	"github.com/chromedp/chromedp"

	"aplomb/internal/account"
	"aplomb/internal/practice"
)

const phrase = "lean a little further"

// served is the whole program on a port of its own, with Millgate Hall not yet
// set up.
func served(t testing.TB) *App {
	t.Helper()
	a, err := New(t.Context(), Config{Data: t.TempDir(), Listen: "localhost:0", Now: time.Now, Log: slog.New(slog.NewTextHandler(io.Discard, nil)),
		HashCost: account.Cost{MemoryKiB: 64, Passes: 1, Lanes: 1}})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	var wg sync.WaitGroup
	wg.Go(func() {
		if err := a.Run(ctx); err != nil {
			t.Error(err)
		}
	})
	t.Cleanup(func() {
		stop()
		wg.Wait()
		if err := a.Close(); err != nil {
			t.Error(err)
		}
	})
	return a
}

// browser is one with nobody in it, or a sentence why the test is skipped.
func browser(t testing.TB) *tabOf {
	t.Helper()
	return browserIn(t, t.TempDir())
}

// browserIn is one that keeps what it has in a folder.
func browserIn(t testing.TB, dir string) *tabOf {
	t.Helper()
	program := ""
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			program = path
			break
		}
	}
	if program == "" {
		t.Skip("the pages are not tried in a browser: install Chromium (Debian: chromium)")
	}
	opts := []chromedp.ExecAllocatorOption{chromedp.ExecPath(program), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU,
		chromedp.NoFirstRun, chromedp.UserDataDir(dir)}
	for _, flag := range []string{"disable-background-networking", "disable-component-update", "disable-sync"} {
		opts = append(opts, chromedp.Flag(flag, true))
	}
	ctx, stop := chromedp.NewExecAllocator(context.Background(), opts...)
	t.Cleanup(stop)
	ctx, closeTab := chromedp.NewContext(ctx)
	t.Cleanup(closeTab)
	b := &tabOf{t: t, ctx: ctx, kill: stop}
	b.do(chromedp.EmulateViewport(1280, 800))
	return b
}

// tabOf is one tab.
type tabOf struct {
	t    testing.TB
	ctx  context.Context
	kill context.CancelFunc // ends the browser at once
}

func (b *tabOf) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tabOf) open(url string) {
	b.t.Helper()
	b.do(chromedp.Navigate(url), chromedp.WaitReady(chromedp.CSS("h1")))
}

// fill types into fields by their names, then sends the form.
func (b *tabOf) fill(form string, pairs ...string) {
	b.t.Helper()
	for i := 0; i+1 < len(pairs); i += 2 {
		field := form + " [name=" + pairs[i] + "]"
		if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[string]("document.querySelector("+strconv.Quote(field)+").value = ''")); err != nil {
			b.t.Fatal(err)
		}
		b.do(chromedp.SendKeys(chromedp.CSS(field), pairs[i+1]))
	}
	b.press(form + " button")
}

// press clicks and waits for the page that follows.
func (b *tabOf) press(button string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 15*time.Second)
	defer cancel()
	if _, err := chromedp.RunResponse(ctx, chromedp.Click(chromedp.CSS(button))); err != nil {
		b.t.Fatalf("%s: %v\n%s", button, err, b.text())
	}
}

func (b *tabOf) text() string {
	s, err := chromedp.Run(b.ctx, chromedp.Evaluate[string]("document.body.innerText"))
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

// where is the address of the page.
func (b *tabOf) where() string {
	at, err := chromedp.Run(b.ctx, chromedp.Evaluate[string]("location.href"))
	if err != nil {
		b.t.Fatal(err)
	}
	return at
}

// says whether the page has the text.
func (b *tabOf) says(text string) bool { return strings.Contains(b.text(), text) }

// reads fails where the page does not say all of it.
func (b *tabOf) reads(wants ...string) {
	b.t.Helper()
	said := b.text()
	for _, want := range wants {
		if !strings.Contains(said, want) {
			b.t.Fatalf("the page does not say %q:\n%s", want, said)
		}
	}
}

// link is the link that the page shows once.
func (b *tabOf) link() string {
	b.t.Helper()
	s, err := chromedp.Run(b.ctx, chromedp.Text(chromedp.CSS(".copy")))
	if err != nil {
		b.t.Fatal(err)
	}
	return s
}

// shoot keeps a picture of the page at desk and phone size, light and dark,
// and fails where something stands out at the side.
func (b *tabOf) shoot(name string) {
	b.t.Helper()
	dir := b.t.ArtifactDir()
	for _, size := range []struct {
		name  string
		width int64
		dark  string
	}{{"desk", 1280, "light"}, {"phone", 390, "light"}, {"phone-dark", 390, "dark"}} {
		b.do(chromedp.EmulateViewport(size.width, 800), chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: size.dark}}})
			return err
		}))
		wide, err := chromedp.Run(b.ctx, chromedp.Evaluate[int64]("document.documentElement.scrollWidth"))
		if err != nil || wide > size.width {
			b.t.Errorf("%s at %s: %d wide, %v", name, size.name, wide, err)
		}
		png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		if err != nil {
			b.t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name+"-"+size.name+".png"), png, 0o600); err != nil {
			b.t.Fatal(err)
		}
		b.accessible(name + " at " + size.name)
	}
	b.do(chromedp.EmulateViewport(1280, 800))
}

// accessible runs axe-core over the page, where APLOMB_AXE names its file
// (axe.min.js of the npm package axe-core).
func (b *tabOf) accessible(name string) {
	b.t.Helper()
	file := os.Getenv("APLOMB_AXE")
	if file == "" {
		return
	}
	script, err := os.ReadFile(file)
	if err != nil {
		b.t.Fatal(err)
	}
	found, err := chromedp.Run(b.ctx, chromedp.Evaluate[string](string(script)+`;
		axe.run({runOnly: ["wcag2a", "wcag2aa", "wcag21aa", "wcag22aa", "best-practice"]}).then(r => JSON.stringify(r.violations.map(v => [v.id, v.nodes.map(n => n.html)])))`,
		chromedp.EvalAwaitPromise))
	if err != nil || found != "[]" {
		b.t.Errorf("%s: %s, %v", name, found, err)
	}
}

// authenticator gives the tab a device that keeps passkeys, and a way to make
// it sign badly.
func (b *tabOf) authenticator() (bogus func(bool)) {
	b.t.Helper()
	var id webauthn.AuthenticatorID
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		if _, err := chromedp.Call(ctx, webauthn.Enable, webauthn.EnableParams{}); err != nil {
			return err
		}
		device, err := chromedp.Call(ctx, webauthn.AddVirtualAuthenticator, webauthn.AddVirtualAuthenticatorParams{Options: &webauthn.VirtualAuthenticatorOptions{
			Protocol: webauthn.AuthenticatorProtocolCtap2, Transport: webauthn.AuthenticatorTransportInternal, HasResidentKey: true,
			HasUserVerification: true, IsUserVerified: true, AutomaticPresenceSimulation: true}})
		id = device.AuthenticatorID
		return err
	}))
	return func(bad bool) {
		b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Call(ctx, webauthn.SetResponseOverrideBits, webauthn.SetResponseOverrideBitsParams{AuthenticatorID: id, IsBogusSignature: &bad})
			return err
		}))
	}
}

// setUp sets the studio up as its first owner does.
func (b *tabOf) setUp(a *App) {
	b.t.Helper()
	ways, err := a.Ways(b.t.Context())
	if err != nil || len(ways) != 1 || ways[0].Studio != "" {
		b.t.Fatal(ways, err)
	}
	b.open(ways[0].Link)
	b.shoot("begin")
	b.fill("form.sheet", "studio", "Millgate Hall", "time_zone", "Europe/London", "name", "Ines Marlow", "email", "ines@millgate.example", "password", "handstand123")
	b.reads("Take 10 to 128 characters")
	b.fill("form.sheet", "password", phrase)
	b.reads("Your account", "Millgate Hall · Ines Marlow", "this browser")
}

func TestPasskeysInABrowser(t *testing.T) {
	a, b := served(t), browser(t)
	b.setUp(a)
	bogus := b.authenticator()
	b.open(a.URL + "/account")
	b.do(chromedp.SendKeys(chromedp.CSS("#passkey-name"), "phone"))
	b.press("#new-passkey button")
	b.reads("phone", "not used yet")
	b.shoot("account")
	b.press(".top form button")
	b.reads("Sign in")
	b.shoot("sign-in")
	bogus(true)
	b.do(chromedp.Click(chromedp.CSS("#with-passkey button")), chromedp.WaitVisible(chromedp.CSS("#with-passkey .fault")))
	b.reads("This passkey was not accepted")
	bogus(false)
	b.press("#with-passkey button")
	b.reads("Students")
	b.open(a.URL + "/account")
	b.reads("last used on")
	b.press(`[name=do][value=remove]`)
	b.reads("You have none yet.")
	b.press(".top form button")
	b.do(chromedp.Click(chromedp.CSS("#with-passkey button")), chromedp.WaitVisible(chromedp.CSS("#with-passkey .fault")))
	b.reads("This passkey was not accepted")
}

func TestPeopleInABrowser(t *testing.T) {
	a, b := served(t), browser(t)
	b.setUp(a)
	b.open(a.URL + "/people")
	b.fill("form.narrow", "name", "Tom Ash", "email", "tom@millgate.example")
	b.reads("Hand this link to Tom Ash.", "invited; the link opens until")
	b.shoot("people")
	invitation := b.link()

	tom := browser(t)
	tom.open(invitation)
	tom.reads("Hello Tom Ash")
	tom.shoot("invitation")
	tom.fill("form.sheet", "password", phrase)
	tom.reads("Students")
	tom.open(invitation)
	tom.reads("This link does not open any more.")
	tom.shoot("error")

	who := practice.Who{Studio: "millgate-hall", ID: "test", Role: practice.AtTheDesk}
	people, err := a.store.People(t.Context(), who)
	if err != nil || len(people) != 2 {
		t.Fatal(people, err)
	}
	born := practice.DateOf(2013, 5, 1)
	for _, s := range []practice.Student{{ID: "mira", Name: "Mira Vane", Born: &born, Coach: people[1].Value.ID}, {ID: "otto", Name: "Otto Lind", Coach: people[0].Value.ID}} {
		if _, err := a.store.PutStudent(t.Context(), who, s, 0); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := a.store.PutGuardian(t.Context(), who, practice.Guardian{ID: "maren", Name: "Maren Vane", Students: []string{"mira"}}, 0); err != nil {
		t.Fatal(err)
	}
	tom.open(a.URL)
	tom.reads("Mira Vane")
	if strings.Contains(tom.text(), "Otto") {
		t.Error("Tom sees another's student")
	}
	tom.open(a.URL + "/students/mira/links")
	tom.press(`li:nth-child(2) [value=make]`)
	tom.reads("Hand this link to Maren Vane.", "link made on")
	tom.shoot("links")
	own := tom.link()

	maren := browser(t)
	maren.open(own)
	maren.reads("Hello Maren Vane")
	maren.shoot("own-link")
	maren.press("main button")
	maren.reads("Mira Vane", "Tom Ash coaches Mira Vane.")
	maren.press("li:nth-child(1) button")
	maren.reads("agreed to by a guardian on")
	maren.shoot("own-page")
	tom.press(`li:nth-child(2) [value=revoke]`)
	maren.open(a.URL + "/me")
	maren.reads("Sign in", "I cannot get in")

	b.open(a.URL + "/people")
	b.keys(`li:nth-child(2) summary`, "\r")
	b.shoot("people-more")
	b.enter(`li:nth-child(2) form[action$="/end"] button`)
	b.reads("Tom Ash is signed out everywhere.")
	tom.open(a.URL)
	tom.reads("I cannot get in")
	tom.fill("form", "email", "tom@millgate.example", "password", phrase)
	tom.reads("Mira Vane")
	b.keys(`li:nth-child(2) summary`, "\r")
	b.keys(`li:nth-child(2) select`, "a")
	b.enter(`li:nth-child(2) form[action$="/role"] button`)
	b.reads("Tom Ash now works here as assistant")
	tom.open(a.URL)
	tom.fill("form", "email", "tom@millgate.example", "password", phrase)
	tom.reads("Who you may meet in a class")

	b.press(`li:nth-child(2) a.button`)
	b.reads("Tom Ash leaves?")
	b.press("main form button")
	b.reads("left on")
	tom.open(a.URL)
	tom.reads("I cannot get in")
}

// Without script everything but passkeys works, and shows nothing that does not.
func TestWithoutScript(t *testing.T) {
	a, b := served(t), browser(t)
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		_, err := chromedp.Call(ctx, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true})
		return err
	}))
	ways, err := a.Ways(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	b.open(ways[0].Link)
	b.fill("form.sheet", "studio", "Millgate Hall", "time_zone", "Europe/London", "name", "Ines Marlow", "email", "ines@millgate.example", "password", phrase)
	b.reads("Adding a passkey needs a browser with script switched on.")
	b.press(".top form button")
	b.fill("form.sheet", "email", "ines@millgate.example", "password", "wrong")
	b.reads("do not go together")
	if strings.Contains(b.text(), "Use a passkey") {
		t.Error("a button that does nothing")
	}
	b.fill("form.sheet", "email", "ines@millgate.example", "password", phrase)
	b.reads("Students")
}
