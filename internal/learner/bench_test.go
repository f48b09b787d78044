package learner

import "testing"

// BenchmarkWeek is a student-week: five sessions of sixty reps.
func BenchmarkWeek(b *testing.B) {
	s := New(Defaults(), 1)
	for b.Loop() {
		for range 5 {
			s.Begin(4)
			for k := range skills {
				s.Do(Exercise{Trains: k, Difficulty: s.Level(k) - .7, Reps: 8, Seconds: 5, RestSeconds: 20, Minutes: 4, HandMinutes: .6})
			}
			s.Do(Exercise{Try: true, Reps: 12, RestSeconds: 60, Minutes: 13, HandMinutes: 1})
			s.Finish()
			s.Night(1)
		}
		s.Night(2)
	}
}

func BenchmarkChance(b *testing.B) {
	s := New(Defaults(), 1)
	for b.Loop() {
		s.Chance(15, true)
	}
}

func BenchmarkLimiter(b *testing.B) {
	s := New(Defaults(), 1)
	for b.Loop() {
		s.Limiter(15)
	}
}

func BenchmarkNew(b *testing.B) {
	p := Defaults()
	for b.Loop() {
		New(p, 1)
	}
}
