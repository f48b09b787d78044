package learner

import (
	"math"
	"testing"

	"aplomb/internal/numtest"
)

func TestACapacityGrowsByItsDose(t *testing.T) {
	s := plain()
	s.rate = 1.3
	s.rested[Wrists] = 2
	s.Do(Exercise{Trains: Wrists, Capacity: true, Reps: 3, Minutes: 6, HandMinutes: 4})
	out := s.Finish()
	gain := func(minutes, days, gap float64) float64 {
		return .14 * 1.3 * (1 - math.Exp(-minutes/8)) * (1 - math.Exp(-days/1.5)) * gap / 6
	}
	numtest.Close(t, "wrists", s.slow[Wrists]-.4, gain(6+.35*4, 2, 7.1), 1e-12)
	numtest.Close(t, "endurance by the way", s.slow[Endurance]-.2, gain(.35*4, longAgo, 7.3), 1e-12)
	numtest.Close(t, "a closed shoulder stays closed", s.slow[Shoulders], .6, 0)
	numtest.Close(t, "minutes", out.Minutes, 6, 0)
	numtest.Close(t, "hands", out.Hands, 4, 0)
}

func TestTheSecondDoseOfADayGivesNothing(t *testing.T) {
	s := plain()
	dose := func() {
		s.Begin(0)
		s.Do(Exercise{Trains: Shoulders, Capacity: true, Reps: 1, Minutes: 8})
		s.Finish()
	}
	dose()
	once := s.Level(Shoulders)
	dose()
	numtest.Close(t, "twice a day", s.Level(Shoulders), once, 0)
	s.Night(1)
	rested := s.Level(Shoulders)
	if dose(); s.Level(Shoulders) <= rested {
		t.Error("a night's rest brings nothing")
	}
}

func TestPainGrowsWithTheLoadThatWristsBear(t *testing.T) {
	s := at(0)
	hands := func(minutes float64) float64 { s.hands = minutes; return s.painful() }
	numtest.Close(t, "half at 1.5 times", hands(30), .005+.25/2, 1e-12)
	numtest.Close(t, "none", hands(0), .005+.25*sigmoid(-5), 1e-12)
	numtest.Close(t, "far too much", hands(1000), .255, 1e-12)
	before := hands(30)
	if s.slow[Wrists] = 2; s.painful() >= before {
		t.Error("stronger wrists hurt as much")
	}
}

func TestPainIsDrawnAtItsChance(t *testing.T) {
	const n = 20000
	s, hurt, shoulder := at(0), 0, 0
	for range n {
		s.Begin(4)
		s.hands = 30
		out := s.Finish()
		if (out.Pain > 0) != (out.DaysOff == 6) || (out.Pain > 0) != (out.Site != "") || out.Pain > 6 || out.Pain > 0 && out.Pain < 3 || out.Morning > out.Pain {
			t.Fatalf("outcome %+v", out)
		}
		if out.Pain > 0 {
			hurt++
		}
		if out.Site == "shoulder" {
			shoulder++
		}
	}
	nearShare(t, "painful", hurt, n, .13)
	nearShare(t, "shoulders", shoulder, n, .0025)
}

func TestEffortIsOnItsScale(t *testing.T) {
	s, last := plain(), 0.0
	for range 30 {
		s.Begin(4)
		s.Do(Exercise{Trains: Line, Reps: 20})
		effort := s.Finish().Effort
		if effort < last || effort > 10 || effort != math.Round(effort) {
			t.Fatalf("effort %g after %g", effort, last)
		}
		last = effort
	}
	numtest.Close(t, "spent", last, 10, 0)
}
