package planning

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"aplomb/internal/assess"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// sunday ends the samples; the week planned begins the day after.
var sunday = practice.DateOf(2026, 3, 29)

// still is a clock that stands: no search runs out of time.
func still() time.Time { return time.Unix(0, 0) }

var solver = Solver{Budget: time.Second, Now: still, LeftOut: 3}

func slots(minutes ...int) (out []practice.Slot) {
	days := []practice.Weekday{1, 3, 5, 6, 0, 2, 4}
	for i, m := range minutes {
		out = append(out, practice.Slot{Day: days[i], Minutes: m})
	}
	return out
}

// student is at the wall with everything, two long sessions and two short.
func student() practice.Student {
	return practice.Student{ID: "orla", Name: "Orla", Kit: practice.Kits, Slots: slots(60, 45, 15, 12)}
}

// shownLog is ten weeks of a student who has shown what free work asks for.
func shownLog() *practice.Log {
	log := &practice.Log{}
	add := func(day, minute int, drill string, ok bool, seconds float64) {
		at := practice.Instant{UnixNano: (int64(sunday)-70+int64(day))*86400e9 + (18*60+int64(minute))*60e9}
		a := practice.Attempt{ID: fmt.Sprintf("a%d-%d", day, minute), Student: "orla", At: at, Drill: drill, Timed: "counted", Passed: practice.Known(ok)}
		if seconds > 0 {
			a.Seconds, a.End = practice.Known(seconds), practice.Over
		}
		log.Attempts = append(log.Attempts, a)
	}
	for day := 0; day < 70; day += 3 {
		add(day, 0, "cold-try", day%2 == 0, 0.5+float64(day%2*0)+2*float64((day+1)%2))
		for k := range 4 {
			add(day, 10+k, "wall-turn-out", true, 0)
			add(day, 20+k, "wall-walk-down", true, 0)
			add(day, 30+k, "kick-wall", k > 0, 0)
			add(day, 40+k, "heel-float", k%2 == 0, 0)
			add(day, 50+k, "chest-wall-hold", true, 22)
			add(day, 60+k, "half-kick", true, 0)
			add(day, 70+k, "chest-wall-line", true, 16)
		}
	}
	return log
}

func input(s practice.Student, log *practice.Log, wishes ...practice.Wish) Input {
	log.Sort()
	lib := library.Builtin()
	st := assess.Stand(assess.Subject{Student: s, Log: log, Library: lib, Milestones: practice.DefaultMilestonesS, AsOf: sunday})
	return For(s, st, lib, wishes, log)
}

func draft(t *testing.T, in Input) Draft {
	t.Helper()
	d, err := Make(in, solver)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// itemsOf is every item of a week, days off included.
func itemsOf(d Draft) (out []practice.Item) {
	for _, s := range d.Week.Sessions {
		for _, b := range s.Blocks {
			out = append(out, b.Items...)
		}
	}
	return append(out, d.Week.DaysOff...)
}

func drillsOf(d Draft) (out []string) {
	for _, c := range d.Result.Drills {
		out = append(out, c.ID)
	}
	return out
}

// TestStopsAreStops: under every set of strains ruled out, by a stop or a
// restriction, no drill with one of them is in any plan, and the library
// offers none, whatever the student has shown, has at home, or the coach
// wishes for.
func TestStopsAreStops(t *testing.T) {
	lib := library.Builtin()
	var everything []practice.WishLock
	for _, d := range lib.Drills {
		everything = append(everything, practice.WishLock{Drill: d.ID})
	}
	wish := practice.Wish{Student: "orla", Locks: everything}
	for mask := 1; mask < 1<<len(practice.Strains); mask++ {
		var no []practice.Strain
		for i, strain := range practice.Strains {
			if mask&(1<<i) != 0 {
				no = append(no, strain)
			}
		}
		stopped, restricted := student(), student()
		stopped.Stops = []practice.Stop{{No: no, Since: sunday - 10}}
		restricted.Restrictions = []practice.Restriction{{Site: "wrist", No: no, Since: sunday + 7}} // holds on the last day of the week alone
		for name, s := range map[string]practice.Student{"stop": stopped, "restriction": restricted} {
			in := input(s, shownLog(), wish)
			offers, _ := in.Offers()
			if len(offers) == 0 {
				t.Errorf("%s %v: nothing at all is offered", name, no)
			}
			for _, o := range offers {
				if d := lib.Drills[o.Index]; hasAny(d, no) {
					t.Errorf("%s %v: %s is offered", name, no, d.ID)
				}
			}
			for _, it := range itemsOf(draft(t, in)) {
				if d, ok := lib.Drill(it.Drill); !ok || hasAny(d, no) {
					t.Errorf("%s %v: %q is in the week", name, no, it.Drill)
				}
			}
		}
	}
}

func hasAny(d practice.Drill, no []practice.Strain) bool {
	return slices.ContainsFunc(no, d.Has)
}

func TestAClearedStopOpensTheWeekAgain(t *testing.T) {
	s := student()
	cleared := sunday + 1
	s.Stops = []practice.Stop{{No: []practice.Strain{practice.Inverted}, Since: sunday - 30, ClearedOn: &cleared, ClearedBy: "a clinician"}}
	in := input(s, shownLog())
	offers, _ := in.Offers()
	if !slices.ContainsFunc(offers, func(o Offer) bool { return in.Library.Drills[o.Index].Inverted() }) {
		t.Error("cleared before the week begins, yet nothing inverted is offered")
	}
}

// TestFirstWeeks: with no log at all there is a sound week for every way of
// living: on the hands only what needs nothing, exits before free tries.
func TestFirstWeeks(t *testing.T) {
	for name, s := range map[string]practice.Student{
		"wall, two long and two short": student(),
		"bare floor, three of twenty":  {ID: "orla", Slots: slots(20, 20, 20)},
		"bare floor, seven of fifteen": {ID: "orla", Slots: slots(15, 15, 15, 15, 15, 15, 15)},
		"one of forty-five":            {ID: "orla", Kit: []practice.Kit{"wall"}, Slots: slots(45)},
	} {
		in := input(s, &practice.Log{})
		d := draft(t, in)
		if d.Empty != NotEmpty || len(d.Result.Drills) == 0 || !d.Result.Proved {
			t.Errorf("%s: empty %q, proved %t", name, d.Empty, d.Result.Proved)
		}
		for _, it := range itemsOf(d) {
			if drill, _ := in.Library.Drill(it.Drill); drill.Support == practice.Open {
				t.Errorf("%s: %s in the open before any exit was shown", name, it.Drill)
			}
		}
		checkSound(t, name, in, d)
	}
}

// checkSound holds what is true of every week.
func checkSound(t *testing.T, name string, in Input, d Draft) {
	t.Helper()
	handDays := 0
	for _, s := range d.Week.Sessions {
		sum, hand, order := 0.0, false, -1
		for _, b := range s.Blocks {
			sum += b.Minutes
			at := slices.Index(practice.BlockKinds, b.Kind)
			if at <= order {
				t.Errorf("%s: block %s comes out of order on %s", name, b.Kind, s.Day)
			}
			order = at
			for _, it := range b.Items {
				hand = hand || it.HandMinutes > 0
			}
		}
		if sum > s.Minutes+1e-9 {
			t.Errorf("%s: %g minutes of work in the %g of %s", name, sum, s.Minutes, s.Day)
		}
		if hand {
			handDays++
		}
	}
	if handDays > 6 {
		t.Errorf("%s: weight on the hands on all seven days", name)
	}
	hand := 0.0
	for _, it := range itemsOf(d) {
		hand += it.HandMinutes
	}
	if hand > in.ceiling()+1e-9 {
		t.Errorf("%s: %g minutes on the hands, the ceiling is %g", name, hand, in.Standing.Load.Ceiling)
	}
}

func TestAFullWeekIsSound(t *testing.T) {
	in := input(student(), shownLog())
	d := draft(t, in)
	checkSound(t, "full", in, d)
	kinds := map[practice.BlockKind]bool{}
	for _, s := range d.Week.Sessions {
		for _, b := range s.Blocks {
			kinds[b.Kind] = true
		}
	}
	for _, kind := range []practice.BlockKind{practice.PrepBlock, practice.ColdBlock, practice.TriesBlock, practice.PracticeBlock, practice.StretchBlock, practice.LogBlock} {
		if !kinds[kind] {
			t.Errorf("no %s block in the week", kind)
		}
	}
	for _, id := range drillsOf(d) {
		if _, ok := d.Reasons[id]; !ok {
			t.Errorf("no reason for %s", id)
		}
	}
	if len(d.LeftOut) == 0 || len(d.Week.DaysOff) == 0 {
		t.Errorf("left out %v, days off %v", d.LeftOut, d.Week.DaysOff)
	}
	for i := 1; i < len(d.LeftOut); i++ {
		a, b := d.LeftOut[i-1].Loss, d.LeftOut[i].Loss
		if a == nil && b != nil || a != nil && b != nil && *a > *b {
			t.Errorf("left out, not nearest first: %+v", d.LeftOut)
		}
	}
	again := draft(t, input(student(), shownLog()))
	if fmt.Sprint(again.Week) != fmt.Sprint(d.Week) {
		t.Error("the same input gave another week")
	}
}

func TestWishes(t *testing.T) {
	free := draft(t, input(student(), shownLog()))
	out := drillsOf(free)[0]
	banned := draft(t, input(student(), shownLog(), practice.Wish{Student: "orla", Bans: []string{out}}))
	if slices.Contains(drillsOf(banned), out) {
		t.Errorf("%s was banned and is in", out)
	}
	var wanted string
	for _, l := range free.LeftOut {
		if l.Loss != nil {
			wanted = l.Drill
		}
	}
	locked := draft(t, input(student(), shownLog(), practice.Wish{Student: "orla", Locks: []practice.WishLock{{Drill: wanted}}}))
	if !slices.Contains(drillsOf(locked), wanted) || !locked.Reasons[wanted].Locked {
		t.Errorf("%s was locked and is not in, or not marked as the coach's wish", wanted)
	}
	if locked.Result.Objective > free.Result.Objective {
		t.Error("a lock made the week better")
	}
	other := practice.DateOf(2026, 5, 4).Week()
	later := draft(t, input(student(), shownLog(), practice.Wish{Student: "orla", Week: &other, Bans: []string{out}}))
	if !slices.Contains(drillsOf(later), out) {
		t.Error("a wish for another week changed this one")
	}
	tooMuch := practice.Wish{Student: "orla"}
	for _, d := range free.Problem.Drills[:12] {
		tooMuch.Locks = append(tooMuch.Locks, practice.WishLock{Drill: d.ID, Sets: d.MaxSets})
	}
	d := draft(t, input(student(), shownLog(), tooMuch))
	if len(d.Unmet) == 0 || len(d.Result.Drills) == 0 {
		t.Errorf("twelve locks at full dose: unmet %v, %d drills", d.Unmet, len(d.Result.Drills))
	}
}

func TestMarksSteer(t *testing.T) {
	log := shownLog()
	in := input(student(), log)
	chosen := drillsOf(draft(t, in))[0]
	i := slices.IndexFunc(in.Library.Drills, func(d practice.Drill) bool { return d.ID == chosen })
	before := in.value(i)
	mark := func(m practice.Mark) practice.DrillMark {
		return practice.DrillMark{Student: "orla", Drill: chosen, Mark: m, At: log.Attempts[len(log.Attempts)-1].At}
	}
	log.Marks = []practice.DrillMark{mark(practice.Helped)}
	if in := input(student(), log); in.value(i) <= before && before < 100 {
		t.Error("helped did not raise the value")
	}
	log.Marks = []practice.DrillMark{mark(practice.Confusing)}
	if in := input(student(), log); !offered(in, chosen) {
		t.Error("confusing once dropped the drill: it wants a fresh cue first")
	}
	log.Marks = []practice.DrillMark{mark(practice.Confusing), mark(practice.Confusing)}
	if in := input(student(), log); offered(in, chosen) {
		t.Error("still confusing, yet offered")
	}
}

func offered(in Input, id string) bool {
	offers, _ := in.Offers()
	return slices.ContainsFunc(offers, func(o Offer) bool { return in.Library.Drills[o.Index].ID == id })
}

func TestShares(t *testing.T) {
	days := func(weeks ...int) (out []practice.Date) { // weeks back from the one planned
		for _, w := range weeks {
			out = append(out, sunday+1-practice.Date(7*w))
		}
		slices.Sort(out)
		return out
	}
	half := 0.5
	for _, c := range []struct {
		name string
		days []practice.Date
		wish []practice.Wish
		want Share
	}{
		{"new", nil, nil, Share{Of: 1, Code: UsualMinutes}},
		{"third week", days(1, 2), nil, Share{Of: 1, Code: UsualMinutes}},
		{"fifth week", days(1, 2, 3, 4), nil, Share{Of: 0.65, Code: LighterWeek}},
		{"sixth week", days(1, 2, 3, 4, 5), nil, Share{Of: 1, Code: UsualMinutes}},
		{"a week off starts the count again", days(1, 2, 4, 5), nil, Share{Of: 1, Code: UsualMinutes}},
		{"two weeks away to the day", []practice.Date{sunday - 13}, nil, Share{Of: 1, Code: UsualMinutes}},
		{"longer than two weeks", []practice.Date{sunday - 14}, nil, Share{Of: 0.6, Code: BackFromGap, Days: 15}},
		{"the coach's word", days(1, 2, 3, 4), []practice.Wish{{Student: "orla", Minutes: &half}}, Share{Of: 0.5, Code: CoachSaid}},
	} {
		in := input(student(), &practice.Log{}, c.wish...)
		in.Standing.Days = c.days
		if len(c.days) > 0 {
			in.Standing.LastDay = c.days[len(c.days)-1]
		}
		if got := in.share(); got != c.want {
			t.Errorf("%s: %+v, want %+v", c.name, got, c.want)
		}
	}
}

func TestEmptyWeeksSayWhy(t *testing.T) {
	none := student()
	none.Slots = nil
	away := student()
	away.MinutesOff = []practice.Away{{From: sunday, To: sunday + 8}}
	short := student()
	short.Slots = slots(5, 5)
	for want, s := range map[EmptyCode]practice.Student{NoSessions: none, Away: away, TooShort: short} {
		if d := draft(t, input(s, &practice.Log{})); d.Empty != want {
			t.Errorf("empty for %q, want %q", d.Empty, want)
		}
	}
	partly := student()
	partly.MinutesOff = []practice.Away{{From: sunday + 1, To: sunday + 3}} // Monday to Wednesday
	for _, s := range draft(t, input(partly, &practice.Log{})).Week.Sessions {
		if s.Day <= 2 {
			t.Errorf("a session on %s, away until Wednesday", s.Day)
		}
	}
}

// TestWhatHurtsRests: pain in a wrist that stops hand load takes every wrist
// drill out as well, those without weight too.
func TestWhatHurtsRests(t *testing.T) {
	log := shownLog()
	log.Sessions = []practice.Session{{ID: "s", Student: "orla", At: log.Attempts[len(log.Attempts)-1].At, PainSite: "wrist", Pain: practice.Known(7.0)}}
	in := input(student(), log)
	d := draft(t, in)
	for _, it := range itemsOf(d) {
		if drill, _ := in.Library.Drill(it.Drill); drill.Component == "wrists" || drill.Has(practice.HandLoad) {
			t.Errorf("a wrist hurts and %s is in the week", it.Drill)
		}
	}
	if d.Empty != NotEmpty {
		t.Errorf("nothing is left: %s", d.Empty)
	}
}

func TestGroupsShareAWeek(t *testing.T) {
	a, b, c := student(), student(), student()
	a.Group, b.Group, c.Group = "tuesday", "tuesday", "tuesday"
	b.ID, c.ID = "bram", "tomas"
	b.Slots = slots(45, 45, 10)
	c.Stops = []practice.Stop{{No: []practice.Strain{practice.Inverted}, Since: sunday}}
	inputs := []Input{input(a, shownLog()), input(b, shownLog()), input(c, shownLog())}
	if err := ShareInGroups(inputs, solver); err != nil {
		t.Fatal(err)
	}
	shared := inputs[0].Shared
	if len(shared) == 0 || fmt.Sprint(shared) != fmt.Sprint(inputs[1].Shared) {
		t.Fatalf("shared %v and %v", shared, inputs[1].Shared)
	}
	for _, in := range inputs[:2] {
		d := draft(t, in)
		if 2*len(d.Group.Shared) < len(shared) {
			t.Errorf("%s shares only %v of %v", in.Student.ID, d.Group.Shared, shared)
		}
		if len(d.Group.Shared)+len(d.Group.Left) < len(shared) {
			t.Errorf("%s: %v shared and %v left do not make up %v", in.Student.ID, d.Group.Shared, d.Group.Left, shared)
		}
	}
	d := draft(t, inputs[2])
	for _, it := range itemsOf(d) {
		if drill, _ := inputs[2].Library.Drill(it.Drill); drill.Inverted() {
			t.Errorf("the group brought %s to a student who may not go upside down", it.Drill)
		}
	}
	if len(d.Result.Drills) == 0 {
		t.Error("the stopped student has no week of their own")
	}
	alone := []Input{input(a, shownLog())}
	if err := ShareInGroups(alone, solver); err != nil || alone[0].Shared != nil {
		t.Errorf("a group of one shares %v, %v", alone[0].Shared, err)
	}
}

func TestValueIsAHumpInTheChanceOfSuccess(t *testing.T) {
	in := input(student(), &practice.Log{})
	i := slices.IndexFunc(in.Library.Drills, func(d practice.Drill) bool { return d.Kind == practice.Skill })
	value := func(logit, sd float64) int {
		in.Standing.Drills[i].Logit, in.Standing.Drills[i].SD = logit, sd
		return in.value(i)
	}
	peak := value(0.7, 0)
	if peak != 100 || value(-1, 0) >= peak || value(3, 0) >= value(1.5, 0) || value(0.7, 1) >= peak {
		t.Errorf("values %d at the peak, %d hard, %d very easy, %d in doubt", peak, value(-1, 0), value(3, 0), value(0.7, 1))
	}
}

// TestShortfall against the closed forms: E max(0, N(0,1)) = 1/sqrt(2 pi).
func TestShortfall(t *testing.T) {
	for _, c := range []struct{ mean, sd, want float64 }{
		{0, 1, 0.3989422804014327}, {2, 0, 2}, {-2, 0, 0}, {10, 1, 10}, {-10, 1, 0},
	} {
		if got := shortfall(c.mean, c.sd); got-c.want > 1e-9 || c.want-got > 1e-9 {
			t.Errorf("shortfall(%g, %g) = %g, want %g", c.mean, c.sd, got, c.want)
		}
	}
}

func TestKindsFollowTheChance(t *testing.T) {
	in := input(student(), shownLog())
	p := in.problem(mustOffers(in), in.frames(1, true, true), 30)
	for _, d := range p.Drills {
		i := slices.IndexFunc(in.Library.Drills, func(x practice.Drill) bool { return x.ID == d.ID })
		chance := in.Standing.Drills[i].P
		switch d.Kind {
		case week.Easy:
			if chance < 0.8 {
				t.Errorf("%s is called easy at %.2f", d.ID, chance)
			}
		case week.Challenge:
			if chance < 0.45 || chance >= 0.8 {
				t.Errorf("%s is called a challenge at %.2f", d.ID, chance)
			}
		}
	}
}

func mustOffers(in Input) []Offer {
	offers, _ := in.Offers()
	return offers
}

// TestNoSessionIsTooShortForItself: whatever the minutes, the share and what is
// ruled out, the blocks of a session fit in it.
func TestNoSessionIsTooShortForItself(t *testing.T) {
	for _, no := range [][]practice.Strain{nil, practice.Strains} {
		for minutes := 3; minutes <= 70; minutes++ {
			for _, share := range []float64{0.3, 0.65, 1} {
				s := student()
				s.Slots = slots(minutes, minutes, minutes, minutes, minutes, minutes, minutes)
				if no != nil {
					s.Stops = []practice.Stop{{No: no, Since: sunday}}
				}
				in := input(s, shownLog(), practice.Wish{Student: "orla", Minutes: &share})
				d, err := Make(in, Solver{Budget: solver.Budget, Now: still})
				if err != nil {
					t.Fatal(err)
				}
				checkSound(t, fmt.Sprintf("seven of %d minutes at %g", minutes, share), in, d)
				for _, session := range d.Week.Sessions {
					for _, b := range session.Blocks {
						if len(b.Items) == 0 && b.Kind != practice.PrepBlock && b.Kind != practice.LogBlock {
							t.Errorf("seven of %d minutes at %g: an empty %s block", minutes, share, b.Kind)
						}
					}
				}
			}
		}
	}
}
