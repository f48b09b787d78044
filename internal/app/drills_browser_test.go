package app

import (
	"testing"
	"time"
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
