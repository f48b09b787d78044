package app

import (
	"aplomb/internal/practice"
	"context"
	"errors"
	"testing"
	"time"
)

// The desk of the demo in a browser: who needs the coach, a notice answered, a
// student with pictures, a note kept.
func TestDeskInABrowser(t *testing.T) {
	b := browser(t)
	d, err := NewDemo(t.Context(), Config{Listen: "localhost:0", Log: quiet(), Now: time.Now}, "")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- d.Run(ctx) }()
	defer func() {
		stop()
		if err := <-done; err != nil {
			t.Error(err)
		}
		if err := d.Close(); err != nil {
			t.Error(err)
		}
	}()
	for { // until every look is worked out
		did, err := d.desk.Refresh(t.Context(), "millgate", 100)
		if err != nil {
			t.Fatal(err)
		}
		if did == 0 {
			break
		}
	}
	b.open(d.URL + "/sign-in")
	b.fill("form", "email", d.Email, "password", d.Password)
	b.reads("Who needs you", "Pain that a clinician should look at", "Jory Applewhit", "Gone quiet")
	b.shoot("desk")
	b.open(d.URL + "/?find=sallow")
	b.reads("Henrik Sallowfield")

	b.open(d.URL + "/students/orla")
	b.reads("Orla Tennick", "Open tries, last four weeks", "Components", "Ribs stay in when she talks on the way up.")
	b.shoot("student")
	b.fill("form[action='/students/orla/notes']", "text", "Breathes out on the way up.")
	b.reads("Breathes out on the way up.")
	b.open(d.URL + "/students/petra")
	b.reads("going upside down", "Pressure behind one eye")
	b.shoot("student-stopped")
	b.open(d.URL + "/students/orla/tests")
	b.reads("Floor tests: Orla Tennick", "Day 2", "Before:")
	b.shoot("tests")
	b.fill("main form", "confidence-fear", "3")
	b.reads("The results are kept.")
	b.open(d.URL + "/drills?find=wall")
	b.reads("Drills")
	b.shoot("drills")
	b.press("main .rows a")
	b.reads("How it is done", "Good to know")
	b.shoot("drill")
	b.open(d.URL + "/students/bettina")
	b.shoot("student-new")
}

// The coach's minute with one week: keep, drop, another cue, fewer minutes, and
// hand over, then the next student.
func TestReviewInABrowser(t *testing.T) {
	b := browser(t)
	d, err := NewDemo(t.Context(), Config{Listen: "localhost:0", Log: quiet(), Now: time.Now}, "")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	done := make(chan error, 1)
	go func() { done <- d.Run(ctx) }()
	defer func() {
		stop()
		if err := errors.Join(<-done, d.Close()); err != nil {
			t.Error(err)
		}
	}()
	b.open(d.URL + "/sign-in")
	b.fill("form", "email", d.Email, "password", d.Password)
	b.open(d.URL + "/students/orla/week/" + (practice.Zone{}).At(time.Now()).Date().NextMonday().Week().String())
	b.reads("Orla Tennick: next week", "Where the student stands", "Drills, and why", "Hand over")
	b.shoot("review")
	b.press("#drills ~ ul li:first-child button[value=keep]")
	b.reads("kept by you")
	b.press("#drills ~ ul li:nth-child(2) button[value=drop]")
	b.reads("left out by you", "Start over")
	b.press("button[value=minutes]")
	b.press("form.hand button[value=hand]")
	b.reads("The week of Orla Tennick is handed over.")
}
