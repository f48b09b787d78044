package assess

import (
	"testing"

	"aplomb/internal/numtest"
	"aplomb/internal/practice"
)

func TestOutcomes(t *testing.T) {
	for _, c := range []struct {
		name string
		a    practice.Attempt
		want outcome
	}{
		{"a fall", row(0, 0, "open-try", held(4, practice.Over)), outcome{catchKnown: true, caught: true, held: true, seconds: 4, half: 0.5, fell: true}},
		{"lowered is censored", row(0, 0, "open-try", held(4.5, practice.Lowered)), outcome{catchKnown: true, caught: true, held: true, seconds: 4.5, half: 0.2}},
		{"pain after the catch is censored", row(0, 0, "open-try", held(3.5, practice.Pain)), outcome{catchKnown: true, caught: true, held: true, seconds: 3.5, half: 0.2}},
		{"a spot before a second is left out", row(0, 0, "open-try", held(0.5, practice.SpottedSave)), outcome{excluded: true}},
		{"a touch before a second is left out", row(0, 0, "open-try", held(0.5, practice.SpottedTouch)), outcome{excluded: true}},
		{"a save after it is a fall", row(0, 0, "open-try", held(2.5, practice.SpottedSave)), outcome{catchKnown: true, caught: true, held: true, seconds: 2.5, half: 0.2, fell: true}},
		{"not caught", row(0, 0, "open-try", held(0.5, practice.Under)), outcome{catchKnown: true, fell: true}},
		{"caught, not timed", row(0, 0, "open-try", passed(true)), outcome{catchKnown: true, caught: true, fell: true}},
		{"passed says nothing of a catch elsewhere", row(0, 0, "kick-wall", passed(true)), outcome{fell: true}},
		{"no end is a fall", row(0, 0, "open-try", held(2.5, "")), outcome{catchKnown: true, caught: true, held: true, seconds: 2.5, half: 0.2, fell: true}},
	} {
		if got := outcomeOf(&c.a); got != c.want {
			t.Errorf("%s: got %+v, want %+v", c.name, got, c.want)
		}
	}
}

func TestDoubtOfATime(t *testing.T) {
	for _, c := range []struct {
		seconds float64
		timed   practice.Timing
		want    float64
	}{
		{4.5, "counted", 0.2}, {4.5, "clip", 0.2}, {4, "clip", 0.5}, {4.5, "stopwatch", 1}, {4, "stopwatch", 1}, {4.5, "", 1},
	} {
		numtest.Close(t, "half-width", halfWidth(c.seconds, c.timed), c.want, 0)
	}
}

func TestColdTryAtAMilestone(t *testing.T) {
	on := func(s practice.Surface) func(*practice.Attempt) { return func(a *practice.Attempt) { a.Surface = s } }
	spotter := func(a *practice.Attempt) { a.Support = practice.Spotter }
	for _, c := range []struct {
		name           string
		a              practice.Attempt
		counts, passes bool
	}{
		{"reached, whatever the end", row(0, 0, "cold-try", held(5, practice.Pain)), true, true},
		{"lowered before is a failure", row(0, 0, "cold-try", held(4, practice.Lowered)), true, false},
		{"fell before", row(0, 0, "cold-try", held(4, practice.Over)), true, false},
		{"not caught", row(0, 0, "cold-try", held(0.5, practice.Under)), true, false},
		{"a spot before is no try", row(0, 0, "cold-try", held(4, practice.SpottedSave)), false, false},
		{"a touch before is no try", row(0, 0, "cold-try", held(4, practice.SpottedTouch)), false, false},
		{"pain before is no try", row(0, 0, "cold-try", held(4, practice.Pain)), false, false},
		{"caught but not timed says nothing of 5 s", row(0, 0, "cold-try", passed(true)), false, false},
		{"not caught and not timed fails", row(0, 0, "cold-try", passed(false)), true, false},
		{"blocks prove nothing on the floor", row(0, 0, "cold-try", held(9, practice.Over), on("blocks")), false, false},
		{"a mat is no floor either", row(0, 0, "cold-try", held(9, practice.Over), on("soft")), false, false},
		{"with a spotter it is not open", row(0, 0, "cold-try", held(9, practice.Over), spotter), false, false},
	} {
		if counts, passes := coldTry(&c.a, 5); counts != c.counts || passes != c.passes {
			t.Errorf("%s: counts %t, passes %t; want %t, %t", c.name, counts, passes, c.counts, c.passes)
		}
	}
	a := row(0, 0, "cold-try", passed(true))
	if counts, passes := coldTry(&a, 1); !counts || !passes {
		t.Error("caught and not timed is a pass at 1 s")
	}
}
