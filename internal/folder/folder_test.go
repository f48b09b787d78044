package folder

import (
	"fmt"
	"strings"
	"testing"

	"aplomb/internal/practice"
)

func mustRead(t *testing.T, files map[string]string) *Studio {
	t.Helper()
	s, faults, err := Read(with(files), base())
	if err != nil || len(faults) > 0 {
		t.Fatalf("%v\n%v", err, faults)
	}
	return s
}

func TestReadTheSample(t *testing.T) {
	s := mustRead(t, nil)
	ada, ben := s.Logs["ada"], s.Logs["ben"]
	if len(s.Students) != 2 || len(ada.Attempts) != 2 || len(ben.Attempts) != 1 || len(ada.Tallies) != 1 ||
		len(ada.Sessions) != 1 || len(ada.Probes) != 1 || len(ben.Probes) != 1 || len(ada.Marks) != 1 || len(ada.Weeks) != 1 ||
		len(s.Wishes) != 2 || len(s.Own) != 1 || len(s.Library.Drills) != 5 {
		t.Fatalf("%+v", s)
	}
	a := ada.Attempts[0]
	if a.At.Offset != 60 || !a.Passed.Value || a.Seconds != practice.Known(2.5) || a.End != practice.Over || a.Set != 1 {
		t.Errorf("%+v", a)
	}
	if b := ada.Attempts[1]; b.Note != "said \"wobbly\", then\nlaughed" || b.Cold.Known {
		t.Errorf("%+v", b)
	}
	if c := ben.Attempts[0]; c.Seconds.Known || c.Set != 0 || c.End != "" {
		t.Errorf("what is empty is not unknown: %+v", c)
	}
	if p := ben.Probes[0]; p.Component != "balance" {
		t.Errorf("the component of a floor test is not taken from the library: %+v", p)
	}
}

func shown(faults practice.Faults) string {
	var lines []string
	for _, f := range faults {
		line := fmt.Sprintf("%s:%d %s %s %s", f.File, f.Line, f.Code, f.Field, f.Value)
		if f.Near != "" {
			line += " ~" + f.Near
		}
		lines = append(lines, strings.Join(strings.Fields(line), " "))
	}
	return strings.Join(lines, "\n")
}

func TestBadInput(t *testing.T) {
	for _, c := range badCases {
		t.Run(c.name, func(t *testing.T) {
			s, faults, err := Read(with(c.files), base())
			if err != nil || shown(faults) != c.want {
				t.Errorf("got\n%s\nwant\n%s\n%v", shown(faults), c.want, err)
			}
			if (s == nil) != (len(faults) > 0) {
				t.Errorf("a studio in spite of faults, or none without")
			}
		})
	}
}
