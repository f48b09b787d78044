package rehearse

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"aplomb/internal/practice"
	"pgregory.net/rapid"
)

func TestPoliciesAreRead(t *testing.T) {
	for _, c := range []struct {
		name    string
		content Content
		week    string // minutes, Monday first
		minutes int
	}{
		{"planner", Planned, "40 15 40 15 40 0 0", 150},
		{"battery@3x50", Battery, "50 0 50 0 50 0 0", 150},
		{"untested", Untested, "40 15 40 15 40 0 0", 150},
		{"random@2x20", Drawn, "20 0 0 20 0 0 0", 40},
		{"timetable@5x30", Timetable, "30 30 0 30 30 0 30", 150},
		{"planner@15x1", "", "", 0},
		{"once", Timetable, "0 0 150 0 0 0 0", 150},
		{"daily-short", Timetable, "21 21 21 21 21 21 21", 147},
		{"balance-only@1x40+1x15", BalanceOnly, "0 0 40 0 0 15 0", 55},
		{"maximal-only@2x15+3x40", MaximalOnly, "40 15 40 15 40 0 0", 150},
	} {
		p, err := ParsePolicy(c.name)
		if c.content == "" {
			if err == nil {
				t.Errorf("%s was read", c.name)
			}
			continue
		}
		if err != nil {
			t.Fatal(err)
		}
		if got := minutesByDay(p.Slots); got != c.week || p.Name != c.name || p.Content != c.content || p.MinutesAWeek() != c.minutes {
			t.Errorf("%s: %s, %s: %s, %d minutes; want %s: %s, %d", c.name, p.Name, p.Content, got, p.MinutesAWeek(), c.content, c.week, c.minutes)
		}
	}
}

func minutesByDay(slots []practice.Slot) string {
	var days [7]int
	for _, s := range slots {
		days[s.Day] += s.Minutes
	}
	return strings.Trim(fmt.Sprint(days), "[]")
}

func TestContentsAndAliasesAreRead(t *testing.T) {
	for _, content := range Contents {
		p := policies(t, string(content))[0]
		if plans := slices.Contains(planners, string(content)); p.plans() != plans || p.tested() == (content == Untested) {
			t.Errorf("%s: plans %v, tested %v", content, p.plans(), p.tested())
		}
	}
	for alias, full := range aliases {
		if a, f := policies(t, alias)[0], policies(t, full)[0]; !slices.Equal(a.Slots, f.Slots) || a.Content != f.Content {
			t.Errorf("%s is not %s", alias, full)
		}
	}
}

func TestBadPoliciesAreRefused(t *testing.T) {
	for _, name := range []string{"timetable@", "timetable@x", "timetable@40", "timetable@0x40", "timetable@8x10", "timetable@3x4", "timetable@1x301",
		"timetable@3x40+", "timetable@3x40+5x15", "timetable@-1x40", "timetable@3 x 40", "timetable@3x40.5"} {
		_, err := ParsePolicy(name)
		_, schedule, _ := strings.Cut(name, "@")
		if bad := (*ScheduleError)(nil); !errors.As(err, &bad) || bad.Schedule != schedule {
			t.Errorf("%s: %v", name, err)
		} else if !strings.Contains(err.Error(), "3x40+2x15") {
			t.Errorf("%s: no example in %q", name, err)
		}
	}
	for _, name := range []string{"", "plannner", "Planner", "once@3x40", "@3x40"} {
		_, err := ParsePolicy(name)
		if unknown := (*practice.UnknownWordError)(nil); !errors.As(err, &unknown) {
			t.Errorf("%q: %v", name, err)
		}
	}
}

// TestSessionsAreSpread: equal sessions lie as evenly over the week, which goes
// round, as days allow; others keep their minutes and have a day each.
func TestSessionsAreSpread(t *testing.T) {
	for n := 1; n <= 7; n++ {
		slots := policies(t, fmt.Sprintf("timetable@%dx30", n))[0].Slots
		for i, s := range slots {
			gap := int(slots[(i+1)%n].Day-s.Day+6)%7 + 1
			if gap < 7/n || gap > (7+n-1)/n {
				t.Errorf("%d sessions: %d days after %s", n, gap, s.Day)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		minutes := rapid.SliceOfN(rapid.IntRange(10, 300), 1, 7).Draw(t, "minutes")
		parts := make([]string, len(minutes))
		for i, m := range minutes {
			parts[i] = fmt.Sprintf("1x%d", m)
		}
		slots, err := parseSchedule(strings.Join(parts, "+"))
		if err != nil {
			t.Fatal(err)
		}
		var got []int
		for i, s := range slots {
			got = append(got, s.Minutes)
			if s.Day < 0 || s.Day > 6 || i > 0 && s.Day <= slots[i-1].Day {
				t.Fatalf("days of %v are not in order, one session each", slots)
			}
		}
		slices.Sort(minutes)
		if slices.Sort(got); !slices.Equal(got, minutes) {
			t.Fatalf("%v became %v", minutes, got)
		}
	})
}
