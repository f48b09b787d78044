package practice

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// Barred agrees with asking every stop and restriction on every day.
func TestBarredProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := func(name string) Date { return Date(rapid.IntRange(0, 12).Draw(t, name)) }
		maybe := func(name string) *Date {
			if d := day(name); d < 9 {
				return &d
			}
			return nil
		}
		var s Student
		for range rapid.IntRange(0, 3).Draw(t, "stops") {
			s.Stops = append(s.Stops, Stop{No: []Strain{rapid.SampledFrom(Strains).Draw(t, "no")}, Since: day("since"), ClearedOn: maybe("cleared")})
		}
		for range rapid.IntRange(0, 3).Draw(t, "restrictions") {
			s.Restrictions = append(s.Restrictions, Restriction{No: []Strain{rapid.SampledFrom(Strains).Draw(t, "no")}, Since: day("since"), Until: maybe("until")})
		}
		from := day("from")
		to := from + day("days")
		var want []Strain
		for _, strain := range Strains {
			barred := false
			for d := from; d <= to; d++ {
				for _, stop := range s.Stops {
					barred = barred || stop.No[0] == strain && stop.Since <= d && (stop.ClearedOn == nil || d < *stop.ClearedOn)
				}
				for _, r := range s.Restrictions {
					barred = barred || r.No[0] == strain && r.Since <= d && (r.Until == nil || d <= *r.Until)
				}
			}
			if barred {
				want = append(want, strain)
			}
		}
		if got := s.Barred(from, to); !slices.Equal(got, want) {
			t.Fatalf("got %v, want %v", got, want)
		}
	})
}

// A stop holds up to the day before it was cleared; a restriction through its
// last day.
func TestBarredAtTheEnds(t *testing.T) {
	ten := Date(10)
	s := Student{
		Stops:        []Stop{{No: []Strain{Inverted}, Since: 5, ClearedOn: &ten}},
		Restrictions: []Restriction{{No: []Strain{HandLoad}, Since: 5, Until: &ten}},
	}
	for day, want := range map[Date][]Strain{4: nil, 5: {Inverted, HandLoad}, 9: {Inverted, HandLoad}, 10: {HandLoad}, 11: nil} {
		if got := s.Barred(day, day); !slices.Equal(got, want) {
			t.Errorf("day %d: %v, want %v", day, got, want)
		}
	}
	if got := s.Barred(0, 4); got != nil {
		t.Error(got)
	}
	if got := s.Barred(10, 16); !slices.Equal(got, []Strain{HandLoad}) {
		t.Error(got)
	}
	open := Student{Stops: []Stop{{No: []Strain{Overhead}, Since: 5}}}
	if got := open.Barred(90000, 90006); !slices.Equal(got, []Strain{Overhead}) {
		t.Errorf("a stop nobody cleared went away: %v", got)
	}
}

func TestMinor(t *testing.T) {
	born := mustDate(t, "2008-03-30")
	for _, c := range []struct {
		s    Student
		day  string
		want bool
	}{
		{Student{Born: &born}, "2026-03-29", true}, {Student{Born: &born}, "2026-03-30", false},
		{Student{Born: &born, Guardian: "R. Ollerton"}, "2026-03-30", false},
		{Student{Guardian: "R. Ollerton"}, "2026-03-30", true}, {Student{}, "2026-03-30", false},
	} {
		if got := c.s.Minor(mustDate(t, c.day)); got != c.want {
			t.Errorf("%+v on %s: %v", c.s, c.day, got)
		}
	}
}

func TestAwayOn(t *testing.T) {
	s := Student{MinutesOff: []Away{{From: 3, To: 4}}}
	if s.AwayOn(2) || !s.AwayOn(3) || !s.AwayOn(4) || s.AwayOn(5) {
		t.Error("both ends count, and no more")
	}
}

// A floor test counted in passes gives finite logits at none and at all, and
// the same distance on both sides of half.
func TestProbeAbility(t *testing.T) {
	p := Probe{Link: OfN, N: 10, Mid: 0.5}
	if none, all := p.Ability(0), p.Ability(10); math.Abs(none+all-2*p.Mid) > 1e-12 || math.Abs(all-p.Mid-math.Log(21)) > 1e-12 {
		t.Error(none, all)
	}
	if a := p.Ability(5); math.Abs(a-p.Mid) > 1e-12 {
		t.Error(a)
	}
	less := Probe{Link: Linear, Mid: 15, Scale: -5}
	if less.Ability(15) != 0 || less.Ability(10) != 1 {
		t.Error("less is better where the scale is negative")
	}
}

func TestLibraryFinds(t *testing.T) {
	l := Library{Drills: []Drill{{ID: "a"}, {ID: "b", Strains: []Strain{Inverted}}}, Probes: []Probe{{ID: "p"}}}
	if d, ok := l.Drill("b"); !ok || !d.Inverted() || d.Has(Overhead) {
		t.Error(d, ok)
	}
	if _, ok := l.Drill("c"); ok {
		t.Error("a drill that is not there")
	}
	if p, ok := l.Probe("p"); !ok || p.ID != "p" {
		t.Error(p, ok)
	}
	if _, ok := l.Probe("q"); ok {
		t.Error("a test that is not there")
	}
}
