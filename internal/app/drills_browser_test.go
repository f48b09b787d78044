package app

import (
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp/kb"
)

// The library by keyboard: what to look for, what a drill has done here, and one
// of the studio's own made from it.
func TestDrillsInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/drills")
	b.enter("a[href='/lookfor']")
	b.reads("What to look for", "Practise:")
	b.shoot("lookfor")
	b.keys("#find", "cartwheel") // the list follows what is typed, without another page
	for deadline := time.Now().Add(10 * time.Second); !time.Now().After(deadline); time.Sleep(50 * time.Millisecond) {
		if where := b.where(); strings.Contains(where, "find=cartwheel") {
			break
		}
	}
	if where := b.where(); !strings.Contains(where, "/lookfor?find=cartwheel") {
		t.Errorf("the list does not follow what is typed: %s", where)
	}
	for deadline := time.Now().Add(time.Minute); ; time.Sleep(time.Second) { // it is learned in the background
		b.open(url + "/drills/open-try")
		if b.says("From the logs of") || time.Now().After(deadline) {
			break
		}
	}
	b.reads("What it has done here", "From the logs of")
	b.shoot("drill-lore")
	b.open(url + "/drills/toe-float")
	b.enter("a[href^='/drills/new']")
	b.shoot("own-drill")
	b.enter("main form > button")
	b.reads("the studio's own")
}

// A milestone is tested: the protocol, the evidence, a try that was filmed.
func TestMilestoneInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/students/orla")
	b.enter("a[href$='/milestone']")
	b.reads("The evidence so far", "How it is tested", "10 of 10")
	b.shoot("milestone")
	b.enter("tbody button[value=filmed]")
	b.reads("a film")
	b.open(url + "/students/orla/tests")
	b.shoot("tests")
}

// A lesson is written down, and what it left for next is in the review; a floor
// test is entered, and a slip keeps what was typed.
func TestLessonAndFloorTestsInABrowser(t *testing.T) {
	b := browser(t)
	url := demoed(t, b)
	b.open(url + "/students/orla")
	b.enter("a[href$='/lessons']")
	b.keys("#lesson-minutes", "50")
	b.keys("#lesson-text", "Kicks that stay narrow; three floats.")
	b.keys("#lesson-next", "Floats of two seconds.")
	b.enter("button[value=keep]")
	b.reads("50 min", "Next: Floats of two seconds.")
	b.shoot("lessons")
	b.open(url + "/students/orla")
	b.reads("Floats of two seconds.")
	b.enter("main a.button")
	b.reads("left for next: Floats of two seconds.")
	b.open(url + "/students/orla/tests")
	b.keys("#tension-hollow", "long")
	b.enter("main form > button")
	b.reads("Nothing was kept yet")
	b.shoot("tests-faulty")
	b.keys("#tension-hollow", kb.End+"\b\b\b\b33")
	b.enter("main form > button")
	b.reads("The results are kept.", "33 on ")
}
