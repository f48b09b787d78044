package app

import (
	"context"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"aplomb/internal/practice"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/input"
	cdpnetwork "github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// phoneStudio is the program with one student, Mira, whose weeks have a session
// on every day, and a line to it.
func phoneStudio(t testing.TB) (studio *App, l *line, link string) {
	t.Helper()
	a := served(t)
	b := browser(t)
	b.setUp(a)
	who := practice.Who{Studio: "millgate-hall", ID: "test", Role: practice.AtTheDesk}
	people, err := a.store.People(t.Context(), who)
	if err != nil {
		t.Fatal(err)
	}
	owner := practice.Who{Studio: "millgate-hall", ID: people[0].Value.ID, Role: practice.Owner}
	if _, err := a.store.PutStudent(t.Context(), who, practice.Student{ID: "mira", Name: "Mira Vane", Coach: owner.ID, Kit: []practice.Kit{"wall", "mat"}}, 0); err != nil {
		t.Fatal(err)
	}
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	today := zone.At(time.Now()).Date()
	for _, week := range []practice.ISOWeek{today.Week(), today.NextMonday().Week()} {
		if _, err := a.store.PutWeek(t.Context(), who, everyDay(week), 0); err != nil {
			t.Fatal(err)
		}
	}
	own, err := a.account.OwnLink(t.Context(), owner, practice.StudentDoor, "mira")
	if err != nil {
		t.Fatal(err)
	}
	l = lineTo(t, a.URL)
	return a, l, l.URL + own.Path
}

// everyDay is a week with the same session on Monday to Saturday, and none on
// Sunday.
func everyDay(week practice.ISOWeek) practice.Week {
	at := practice.Zone{}.At(time.Now().Add(-time.Hour))
	w := practice.Week{Student: "mira", ISOWeek: week, Version: 1, Status: practice.HandedOver, AsOf: week.Monday() - 1, HandedAt: &at}
	for day := practice.Weekday(0); day < 6; day++ {
		item := func(kind, drill string, sets, reps int, seconds float64) practice.Item {
			return practice.Item{ID: day.String() + "-" + kind, Drill: drill, Sets: sets, Reps: reps, Seconds: seconds, Minutes: 5, Cue: "Push the floor away."}
		}
		cold := item("cold", practice.ColdTry, 1, 2, 5)
		cold.RestSeconds = 1
		w.Sessions = append(w.Sessions, practice.PlannedSession{Day: day, Start: "18:30", Minutes: 40, Blocks: []practice.Block{
			{Kind: practice.PrepBlock, Minutes: 8, Items: []practice.Item{}},
			{Kind: practice.ColdBlock, Minutes: 1, Items: []practice.Item{cold}},
			{Kind: practice.TriesBlock, Minutes: 5, Items: []practice.Item{item("tries", practice.OpenTry, 1, 6, 5)}},
			{Kind: practice.PracticeBlock, Minutes: 15, Items: []practice.Item{item("practice", "heel-float", 2, 3, 3)}},
			{Kind: practice.StretchBlock, Minutes: 4, Items: []practice.Item{item("stretch", "chair-sink", 1, 1, 0)}},
			{Kind: practice.LogBlock, Minutes: 3, Items: []practice.Item{}},
		}})
	}
	return w
}

// handheld makes the tab a phone in the hand.
func handheld(b *tabOf) {
	b.t.Helper()
	b.do(chromedp.EmulateViewport(390, 844, chromedp.EmulateMobile, chromedp.EmulateTouch, chromedp.EmulateScale(2)))
}

// tap touches the button, link or summary that says so, as a finger does.
func (b *tabOf) tap(text string) {
	b.t.Helper()
	const find = `(() => {
		const e = [...document.querySelectorAll("button, a, summary")].find((e) => e.checkVisibility() && (e.textContent.trim() === TEXT || e.textContent.trim().startsWith(TEXT)));
		if (!e) return [];
		e.scrollIntoView({block: "center"});
		const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2, r.height];
	})()`
	var at []float64
	for deadline := time.Now().Add(10 * time.Second); len(at) == 0; time.Sleep(50 * time.Millisecond) {
		got, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]float64](strings.ReplaceAll(find, "TEXT", strconv.Quote(text))))
		if err == nil {
			at = got
		}
		if len(at) == 0 && time.Now().After(deadline) {
			b.snap("lost")
			b.t.Fatalf("nothing says %q:\n%s", text, b.text())
		}
	}
	b.touch(at[0], at[1])
}

func (b *tabOf) touch(x, y float64) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		for _, p := range []input.DispatchTouchEventParams{
			{Type: input.DispatchTouchEventTypeTouchStart, TouchPoints: []*input.TouchPoint{{X: x, Y: y}}},
			{Type: input.DispatchTouchEventTypeTouchEnd, TouchPoints: []*input.TouchPoint{}},
		} {
			if _, err := chromedp.Call(ctx, input.DispatchTouchEvent, p); err != nil {
				return err
			}
		}
		return nil
	}))
}

// quit closes the browser as a person does: what it has is on the disk.
func (b *tabOf) quit() {
	b.t.Helper()
	if err := chromedp.Cancel(b.ctx); err != nil {
		b.t.Fatal(err)
	}
}

// awaits waits until the page says all of it.
func (b *tabOf) awaits(wants ...string) {
	b.t.Helper()
	for deadline := time.Now().Add(15 * time.Second); ; time.Sleep(50 * time.Millisecond) {
		said, err := chromedp.Run(b.ctx, chromedp.Evaluate[string]("document.body.innerText"))
		missing := ""
		for _, want := range wants {
			if err != nil || !strings.Contains(said, want) {
				missing = want
			}
		}
		if missing == "" {
			return
		}
		if time.Now().After(deadline) {
			b.snap("lost")
			b.t.Fatalf("the phone does not say %q:\n%s", missing, said)
		}
	}
}

// snap keeps a picture of the phone, light and dark, fails where something
// stands out at the side, and asks axe-core.
func (b *tabOf) snap(name string) {
	b.t.Helper()
	for _, scheme := range []string{"dark", "light"} {
		b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
			_, err := chromedp.Call(ctx, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}})
			return err
		}))
		png, err := chromedp.Run(b.ctx, chromedp.FullScreenshot(100))
		if err != nil {
			b.t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(b.t.ArtifactDir(), name+"-"+scheme+".png"), png, 0o600); err != nil {
			b.t.Fatal(err)
		}
	}
	wide, err := chromedp.Run(b.ctx, chromedp.Evaluate[int64]("document.documentElement.scrollWidth"))
	if err != nil || wide > 390 {
		b.t.Errorf("%s: %d wide, %v", name, wide, err)
	}
	b.accessible(name)
}

// has says whether a button or a heading begins so.
func (b *tabOf) has(text string) bool {
	b.t.Helper()
	got, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`[...document.querySelectorAll("button, h1")].some((e) => e.checkVisibility() && e.textContent.trim().startsWith(`+strconv.Quote(text)+`))`))
	return err == nil && got
}

// mark marks the state that shows, marked says whether it still does.
func (b *tabOf) mark() {
	b.t.Helper()
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`document.getElementById("main").firstElementChild.seen = true`)); err != nil {
		b.t.Fatal(err)
	}
}

func (b *tabOf) marked() bool {
	got, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool](`document.getElementById("main").firstElementChild?.seen === true`))
	return err == nil && got
}

// train goes through the session up to the questions after it, one way or the
// other as each set is logged, and takes pictures of what it sees first. It says how
// many tries that were.
func (b *tabOf) train(pictures bool) (tries int) {
	b.t.Helper()
	seen := map[string]bool{}
	snap := func(name string) {
		if pictures && !seen[name] {
			b.snap(name)
		}
		seen[name] = true
	}
	for range 200 {
		b.mark()
		switch {
		case b.has("After the session"):
			return tries
		case b.has("Warm up"):
			snap("prep")
			b.tap("Warm")
		case b.has("Cold try") && b.has("No, this is"):
			snap("cold")
			b.tap("No, this is the first")
		case b.has("Begin"):
			snap("ready")
			b.tap("Begin")
		case b.has("After the set"):
			if b.has("Next set") {
				snap("afterset")
				b.tap("Next set")
			} else {
				b.tap("Next")
			}
		case b.has("The last two sets"):
			snap("worse")
			b.tap("Go on as planned")
		case b.has("How did it end?"):
			snap("ended")
			if b.has("Came down by choice") {
				b.tap("Came down by choice")
			} else {
				b.tap("Next")
			}
		case b.has("Time this one"):
			snap("tally")
			if b.has("Caught") {
				b.tap("Caught")
			} else {
				b.tap("That counted")
			}
			tries++
		case b.has("That counted"):
			snap("count")
			b.tap("That counted")
			tries++
		case b.has("Start"), b.has("Go now"):
			snap("set")
			if b.has("Go now") {
				b.tap("Go now")
			} else {
				b.tap("Start")
			}
			b.awaits("Tap when it is over")
			snap("going")
			b.mark()
			time.Sleep(1100 * time.Millisecond)
			b.touch(195, 400)
			b.awaits("How did it end?")
			tries++
		case b.has("Done"):
			snap("stretch")
			b.tap("Done")
		}
		for range 40 { // until another state shows
			if !b.marked() {
				break
			}
			time.Sleep(25 * time.Millisecond)
		}
		time.Sleep(50 * time.Millisecond)
	}
	b.snap("lost")
	b.t.Fatalf("no end:\n%s", b.text())
	return tries
}

// logged is what the studio has of Mira.
func logged(t *testing.T, a *App) practice.Log {
	t.Helper()
	log, err := a.store.Log(t.Context(), practice.Who{Studio: "millgate-hall", ID: "test", Role: practice.AtTheDesk}, "mira")
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// arrives waits until the studio has so much.
func arrives(t *testing.T, a *App, tries, sessions int) practice.Log {
	t.Helper()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(100 * time.Millisecond) {
		log := logged(t, a)
		arrived := len(log.Attempts)
		for _, y := range log.Tallies {
			if y.Caught.Known { // else it is stretching
				arrived += y.Tries
			}
		}
		done := 0
		for _, s := range log.Sessions {
			if s.Effort.Known {
				done++
			}
		}
		if arrived == tries && done == sessions {
			return log
		}
		if time.Now().After(deadline) {
			t.Fatalf("arrived: %d tries, %d sessions; logged %d, %d", arrived, done, tries, sessions)
		}
	}
}

// ready is a phone on its student's pages.
func ready(t testing.TB, b *tabOf, link string) {
	t.Helper()
	handheld(b)
	b.open(link)
	b.press("main button")
	b.awaits("Your week", "Everything is at the studio.")
}

// practiceDay is the first day from today on that has a session.
func practiceDay(t testing.TB) string {
	t.Helper()
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	date := zone.At(time.Now()).Date()
	if date.Weekday() == 6 {
		date++ // nothing on a Sunday
	}
	return date.String()
}

// A long session with a line: every kind of step once, and all of it arrives.
func TestLongSessionOnAPhone(t *testing.T) {
	if os.Getenv("APLOMB_PHONE") == "" {
		t.Skip("it waits for what a page says and flickers on a busy machine: set APLOMB_PHONE=1")
	}
	a, l, link := phoneStudio(t)
	b := browser(t)
	ready(t, b, link)
	day := practiceDay(t)
	b.snap("week")
	b.open(l.URL + "/me/session")
	b.awaits("Which day?")
	b.snap("pick")
	for _, page := range []string{"day/" + day, "progress", "notes", "agreed"} {
		b.open(l.URL + "/me/" + page)
		b.snap(strings.Split(page, "/")[0])
	}
	b.open(l.URL + "/me/session#" + day)
	b.awaits("How much today?")
	b.snap("before")
	b.tap("As planned")
	b.tap("Go on") // that the browser may clear the page is said once
	b.awaits("How are your wrists?")
	b.snap("wrists")
	b.tap("1")
	did := b.train(true)
	b.snap("after")
	b.tap("6")
	b.tap("Done")
	b.awaits("tries in 1 minute")
	b.snap("end")
	log := arrives(t, a, did, 1)
	if s := log.Sessions[0]; s.PainBefore.Value != 1 || s.Effort.Value != 6 || s.Week == "" || s.Version != 1 || s.Form != practice.FormPlanned {
		t.Errorf("%+v", s)
	}
	cold := 0
	for _, try := range log.Attempts {
		if try.Drill == practice.ColdTry && try.Cold.Value && try.Passed.Value && try.Seconds.Value >= 1 && try.End == practice.Lowered && try.Item != "" {
			cold++
		}
	}
	if cold != 2 {
		t.Errorf("%d cold tries in %+v", cold, log.Attempts)
	}
	b.tap("Your week")
	b.awaits("Everything is at the studio.")
	t.Logf("arrived: %d tries", did)
}

// A short session with the line cut: the browser is killed in the middle and
// opened again without a line; the session goes on, and all of it arrives once
// there is a line again.
func TestShortSessionWithoutALine(t *testing.T) {
	if os.Getenv("APLOMB_PHONE") == "" {
		t.Skip("it waits for what a page says and flickers on a busy machine: set APLOMB_PHONE=1")
	}
	a, l, link := phoneStudio(t)
	dir, day := t.TempDir(), practiceDay(t)
	b := browserIn(t, dir)
	ready(t, b, link)
	if _, err := chromedp.Run(b.ctx, chromedp.Evaluate[bool]("navigator.serviceWorker.ready.then(() => true)", chromedp.EvalAwaitPromise)); err != nil {
		t.Fatal(err)
	}
	b.quit()
	b = browserIn(t, dir)
	handheld(b)
	l.cut.Store(true)
	b.open(l.URL + "/me/session#" + day)
	b.awaits("How much today?")
	b.tap("Five minutes")
	b.tap("Go on")
	b.tap("0")
	b.tap("Warm")
	b.tap("Begin")
	b.awaits("ry 1 of 3")
	b.tap("That counted")
	b.awaits("ry 2 of 3", "Saved on this phone")
	b.snap("offline")
	b.kill()

	b = browserIn(t, dir)
	handheld(b)
	b.open(l.URL + "/me")
	b.awaits("ry 2 of 3", "Offline")
	b.tap("Undo")
	b.awaits("ry 1 of 3")
	b.tap("Not this time")
	b.awaits("ry 2 of 3")
	did := b.train(false)
	did++ // the one before
	b.tap("4")
	b.tap("Done")
	b.awaits("Done", "Offline")
	if log := logged(t, a); len(log.Attempts)+len(log.Sessions) > 0 {
		t.Fatal("it arrived without a line")
	}
	l.cut.Store(false)
	b.tap("Your week")
	b.awaits("Everything is at the studio.")
	log := arrives(t, a, did, 1)
	if log.Sessions[0].Form != practice.FormFive || log.Attempts[0].Passed.Value {
		t.Errorf("%+v", log)
	}
	t.Logf("arrived: %d tries", did)
}

// evaluated runs the body of a function in testdata with the modules of the
// phone and what else it is given.
func evaluated[T any](b *tabOf, file, given string) T {
	b.t.Helper()
	body, err := os.ReadFile("testdata/" + file)
	if err != nil {
		b.t.Fatal(err)
	}
	got, err := chromedp.Run(b.ctx, chromedp.Evaluate[T](`(async () => {
		const at = document.querySelector("script[src*='home.js']").src;
		const from = (name) => import(at.replace("home.js", name));
		const {Outbox, newID} = await from("outbox.js");
		const {openStore} = await from("store.js");
		const {act, begin, mode, step, worse, unsettled} = await from("run.js");
		`+given+string(body)+`
	})()`, chromedp.EvalAwaitPromise))
	if err != nil {
		b.t.Fatal(err)
	}
	return got
}

// The outbox alone, under random schedules of everything that goes wrong.
func TestOutboxSchedules(t *testing.T) {
	_, _, link := phoneStudio(t)
	b := browser(t)
	ready(t, b, link)
	for _, run := range []struct {
		schedules int
		real      bool
	}{{500, false}, {12, true}} {
		began := time.Now()
		got := evaluated[[]int](b, "outbox_schedules.js", "const seed = 1, schedules = "+strconv.Itoa(run.schedules)+", real = "+strconv.FormatBool(run.real)+";")
		if got[0] < 5*run.schedules || got[1] < run.schedules {
			t.Fatalf("%v: the schedules do next to nothing", got)
		}
		t.Logf("%d schedules, on disk %v: %d entries, %d sendings failed, %v", run.schedules, run.real, got[0], got[1], time.Since(began).Round(time.Millisecond))
	}
}

// The steps of a session alone, whatever is pressed.
func TestRandomWalksThroughASession(t *testing.T) {
	_, _, link := phoneStudio(t)
	b := browser(t)
	ready(t, b, link)
	steps := evaluated[int](b, "run_walks.js", `const plan = await (await fetch("/me/plan")).json(), walks = 400;`)
	if steps < 400*5 {
		t.Errorf("%d steps: the walks go nowhere", steps)
	}
	t.Logf("400 walks, %d steps", steps)
}

// detours waits until the studio has so many detours of Mira.
func detours(t *testing.T, a *App, n int) []practice.Detour {
	t.Helper()
	for deadline := time.Now().Add(20 * time.Second); ; time.Sleep(100 * time.Millisecond) {
		got := logged(t, a).Detours
		if len(got) == n {
			return got
		}
		if time.Now().After(deadline) {
			t.Fatalf("%d detours, not %d", len(got), n)
		}
	}
}

// Pain stops: wrists over the limit leave no weight on the hands, the studio is
// told, and the next session on this phone knows it at once. A session that is
// skipped arrives as skipped, and is there again when that is taken back.
func TestStopsOnAPhone(t *testing.T) {
	if os.Getenv("APLOMB_PHONE") == "" {
		t.Skip("it waits for what a page says and flickers on a busy machine: set APLOMB_PHONE=1")
	}
	a, l, link := phoneStudio(t)
	b := browser(t)
	ready(t, b, link)
	day := practiceDay(t)
	b.open(l.URL + "/me/session#" + day)
	b.tap("As planned")
	b.tap("Go on")
	b.awaits("How are your wrists?")
	b.tap("7")
	b.awaits("Stop here", "too much for weight on the hands today")
	b.snap("stop")
	b.tap("I have read this")
	b.awaits("Warm up", "Left out: No weight on the hands")
	b.snap("left-out")
	b.tap("Warm")
	b.awaits("Chest sink at a chair")
	b.tap("Begin")
	b.awaits("Done")
	b.tap("Done")
	b.awaits("After the session", "How hard was it?")
	b.tap("2")
	b.tap("Done")
	b.awaits("0 tries in")
	if s := arrives(t, a, 0, 1).Sessions[0]; s.PainBefore.Value != 7 || s.Pain.Known || s.Numb.Known {
		t.Errorf("%+v", s)
	}
	b.tap("Your week")
	b.awaits("No weight on the hands until your coach clears it.")
	b.snap("week-stopped")
	b.open(l.URL + "/me/session#" + day)
	b.awaits("Done today.", "No weight on the hands")

	date, err := practice.ParseDate(day)
	if err != nil {
		t.Fatal(err)
	}
	if date++; date.Weekday() == 6 {
		date++
	}
	b.open(l.URL + "/me")
	b.open(l.URL + "/me/session#" + date.String())
	b.awaits("How much today?")
	b.tap("Not like this")
	b.snap("not-like-this")
	b.tap("ill")
	b.awaits("Skipped.")
	if d := detours(t, a, 1)[0]; d.What != practice.Skipped || d.Reason != "ill" || d.Drill != "" {
		t.Errorf("%+v", d)
	}
	b.tap("Take it back")
	b.awaits("How much today?")
	detours(t, a, 0)
}

// BenchmarkPhoneFirstLoad is the first look at the pages of a phone on a line of
// 1.6 Mbit/s with 150 ms there and back and a processor four times as slow: what
// comes through compressed, and when the first button is there and answers.
func BenchmarkPhoneFirstLoad(bench *testing.B) {
	_, l, link := phoneStudio(bench)
	for _, at := range []string{"/me", "/me/session"} {
		bench.Run(strings.TrimPrefix(at, "/me"), func(bench *testing.B) {
			for range bench.N {
				b := browser(bench)
				handheld(b)
				b.open(link)
				b.press("main button") // signed in; the page is measured with an empty cache
				b.slow(l.URL)
				b.do(chromedp.Navigate(l.URL + at))
				for !b.has("Wednesday") && !b.has("Which day?") && !b.has("Your week") {
					time.Sleep(50 * time.Millisecond)
				}
				time.Sleep(2 * time.Second)
				got, err := chromedp.Run(b.ctx, chromedp.Evaluate[[]float64](`(() => {
					const all = [...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")];
					return [all.reduce((n, e) => n + e.encodedBodySize, 0), window.firstButton, performance.getEntriesByType("paint")[0]?.startTime ?? 0];
				})()`))
				if err != nil {
					bench.Fatal(err)
				}
				bench.ReportMetric(got[0]/1000, "kB")
				bench.ReportMetric(got[1], "ms-to-button")
				bench.ReportMetric(got[2], "ms-to-paint")
				b.kill()
			}
		})
	}
}

// slow is a middling phone on a middling line, with nothing kept of a site but
// who is signed in.
func (b *tabOf) slow(site string) {
	b.t.Helper()
	b.do(chromedp.Func(func(ctx context.Context, _ *chromedp.Target) error {
		if _, err := chromedp.Call(ctx, cdpnetwork.ClearBrowserCache, cdp.Empty{}); err != nil {
			return err
		}
		if _, err := chromedp.Call(ctx, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{Origin: site, StorageTypes: "cache_storage,service_workers,indexeddb,local_storage"}); err != nil {
			return err
		}
		const perSecond = 1.6e6 / 8
		if _, err := chromedp.Call(ctx, cdpnetwork.EmulateNetworkConditionsByRule, cdpnetwork.EmulateNetworkConditionsByRuleParams{
			MatchedNetworkConditions: []*cdpnetwork.Conditions{{Latency: 150, DownloadThroughput: perSecond, UploadThroughput: perSecond}}}); err != nil {
			return err
		}
		if _, err := chromedp.Call(ctx, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}); err != nil {
			return err
		}
		_, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{Source: `
			new MutationObserver((_, o) => {
				if (!document.querySelector("main .go, main .days button")) return;
				o.disconnect();
				setTimeout(() => { window.firstButton = performance.now(); });
			}).observe(document, {childList: true, subtree: true});`})
		return err
	}))
}
