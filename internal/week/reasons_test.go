package week

import (
	"encoding/json"
	"maps"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

func tinyRand(seed uint64) *rand.Rand { return rand.New(rand.NewPCG(seed, 11)) }

func TestExplainIsWhatSolvingAnewGives(t *testing.T) {
	p := reference(t, "d80-typical-03")
	r, err := Explain(p, 5, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Why) != len(r.Drills) || len(r.WhyNot) != 5 {
		t.Fatalf("%d reasons for %d drills, %d against", len(r.Why), len(r.Drills), len(r.WhyNot))
	}
	for _, l := range r.Why {
		q := p
		q.Bans = append(slices.Clone(p.Bans), l.Drill)
		if s := solved(t, q); *l.Loss != r.Objective-s.Objective {
			t.Errorf("why %s: %d, solving anew %d", l.Drill, *l.Loss, r.Objective-s.Objective)
		}
	}
	for _, l := range r.WhyNot {
		q := p
		q.Locks = append(slices.Clone(p.Locks), Lock{Drill: l.Drill})
		if s := solved(t, q); *l.Loss != r.Objective-s.Objective {
			t.Errorf("why not %s: %d, solving anew %d", l.Drill, *l.Loss, r.Objective-s.Objective)
		}
	}
}

func TestWhyOfALockedDrill(t *testing.T) {
	p := reference(t, "d160-large-06")
	r := solved(t, p)
	why, err := Why(p, r, Options{})
	if err != nil {
		t.Fatal(err)
	}
	free := p
	free.Locks, free.Bans = nil, append(slices.Clone(p.Bans), p.Locks[0].Drill)
	want := r.Objective - solved(t, free).Objective
	i := slices.IndexFunc(why, func(l Loss) bool { return l.Drill == p.Locks[0].Drill })
	if i < 0 || *why[i].Loss != want || want >= 0 {
		t.Errorf("got %v, want %d, under 0: the lock costs something here", why, want)
	}
}

func TestMoreTime(t *testing.T) {
	p := reference(t, "d80-typical-01")
	r := solved(t, p)
	c, err := MoreTime(p, r, []int{0, 1}, []int{1}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	q := reference(t, "d80-typical-01")
	q.Long[0].Minutes += 10
	q.Long[1].Minutes += 10
	q.Short[1].Minutes += 10
	if want := solved(t, q).Objective - r.Objective; *c.Gain != want || !c.Proved {
		t.Errorf("got %d, want %d", *c.Gain, want)
	}
	if p.Long[0].Minutes != Minutes(60) {
		t.Error("the problem was changed")
	}
}

// TestMoreTimeCanHurt: five more minutes in the longest session scale the
// doses of the others down.
func TestMoreTimeCanHurt(t *testing.T) {
	for seed := range uint64(200) {
		p := generate(seed, size{drills: 20, components: 4, long: 2})
		c, err := MoreTime(p, solved(t, p), []int{0}, nil, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if c.Gain != nil && *c.Gain < 0 {
			return
		}
	}
	t.Error("no problem of 200 where more time is worse")
}

func TestFilling(t *testing.T) {
	base := generate(3, size{drills: 12, components: 3, long: 2, short: 1})
	for name, c := range map[string]struct {
		change func(p *Problem)
		want   Reason
		relief string
	}{
		"filled":        {func(*Problem) {}, Filled, ""},
		"no candidates": {func(p *Problem) { p.Bans = ids(*p) }, NoCandidates, bans},
		"weekly hands":  {func(p *Problem) { p.HandWeek = 1 }, HeldDown, handPerWeek},
		"no need":       {func(p *Problem) { p.Components, p.ContinuityBonus, p.Drills = needless(*p), 0, plain(*p) }, NothingGained, ""},
		"two caps":      {func(p *Problem) { p.MaxDrills, p.MaxDrillsLong = 0, 0 }, HeldTogether, ""},
		"locked out":    {func(p *Problem) { p.MaxDrills = 0; p.Locks = []Lock{{Drill: p.Drills[0].ID}} }, NoWeek, ""},
	} {
		t.Run(name, func(t *testing.T) {
			p := base
			c.change(&p)
			f, err := Filling(p, solved(t, p), Options{})
			if err != nil || f.Reason != c.want {
				t.Fatalf("got %+v (%v), want %s", f, err, c.want)
			}
			if c.relief != "" && (len(f.Reliefs) == 0 || f.Reliefs[0].Group != c.relief || f.Reliefs[0].Gain <= 0) {
				t.Errorf("reliefs %v, want %s first", f.Reliefs, c.relief)
			}
		})
	}
}

func ids(p Problem) (out []string) {
	for _, d := range p.Drills {
		out = append(out, d.ID)
	}
	return out
}

func needless(p Problem) []Component {
	out := slices.Clone(p.Components)
	for i := range out {
		out[i].Need = 0
	}
	return out
}

func plain(p Problem) []Drill {
	out := slices.Clone(p.Drills)
	for i := range out {
		out[i].Bonus = 0
	}
	return out
}

// TestBudget: when the time is up at once, what comes back is honest.
func TestBudget(t *testing.T) {
	cut := 0
	for seed := range uint64(60) {
		p := generate(seed, typical)
		now := time.Unix(0, 0)
		clock := func() time.Time { now = now.Add(time.Second); return now }
		r, err := Solve(p, Options{Now: clock})
		if err != nil {
			t.Fatal(err)
		}
		best := solved(t, p)
		if r.Feasible {
			if v, faults := Evaluate(p, r.Plan); v != r.Objective || len(faults) > 0 {
				t.Fatalf("objective %d, evaluated %d, %v", r.Objective, v, faults)
			}
		}
		if r.Proved != (r.Feasible && r.Objective == r.Bound) && best.Feasible || best.Feasible && (r.Bound < best.Objective || r.Objective > best.Objective) {
			t.Errorf("seed %d: %d of at most %d, proved %v; the best is %d", seed, r.Objective, r.Bound, r.Proved, best.Objective)
		}
		if !r.Proved {
			cut++
		}
	}
	if cut == 0 {
		t.Error("no solve was cut short")
	}
}

// TestFieldsOfAResult: the names that `aplomb week --json` promises, lists
// that are never null.
func TestFieldsOfAResult(t *testing.T) {
	for _, name := range []string{"d10-tiny-01", "d10-tiny-03"} {
		r, err := Explain(reference(t, name), 3, Options{})
		if err != nil {
			t.Fatal(err)
		}
		raw, err := json.Marshal(r)
		if err != nil {
			t.Fatal(err)
		}
		var got map[string]any
		if err := json.Unmarshal(raw, &got); err != nil {
			t.Fatal(err)
		}
		want := []string{"bound", "conflict", "drills", "feasible", "milliseconds", "objective", "proved", "sessions", "why", "why_not"}
		if names := slices.Sorted(maps.Keys(got)); !slices.Equal(names, want) {
			t.Errorf("%s: fields %v, want %v", name, names, want)
		}
		for _, list := range []string{"conflict", "drills", "sessions", "why", "why_not"} {
			if got[list] == nil {
				t.Errorf("%s: %s is null", name, list)
			}
		}
	}
}

// TestForcingEveryDrill: with a drill forced in that fits badly, the linear
// program once lost its basis to rounding and never came back.
func TestForcingEveryDrill(t *testing.T) {
	p := generate(19, typical)
	r := solved(t, p)
	losses, err := WhyNot(p, r, 0, Options{})
	if err != nil || len(losses) < 60 {
		t.Fatal(len(losses), err)
	}
	for _, l := range losses {
		if !l.Proved || l.Loss != nil && *l.Loss < 0 {
			t.Errorf("%+v", l)
		}
	}
}
