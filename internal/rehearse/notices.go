package rehearse

import (
	"aplomb/internal/assess"
	"aplomb/internal/desk"
)

// NoticeReport is what the desk would have noticed of the watched students in
// the weeks in which they learned, looked at once a week; what was noticed
// before of the same thing counts once.
type NoticeReport struct {
	StudentWeeks int          `json:"student_weeks"`
	Kinds        []NoticeRate `json:"kinds"`
	ADay         float64      `json:"a_day_of_300"`
	FalseADay    float64      `json:"false_a_day_of_300"`
}

// NoticeRate is one kind of notice. False is the share the truth of that day
// does not bear out; null: the notice tells a fact of the log, which cannot be
// false.
type NoticeRate struct {
	Kind  desk.Kind `json:"kind"`
	New   int       `json:"new"`
	ADay  float64   `json:"a_day_of_300"`
	False *Share    `json:"false"`
}

// deskOf is the number of students a desk is judged for.
const deskOf = 300

// noticed is a notice that was new, and whether the truth bears it out.
type noticed struct {
	kind  desk.Kind
	fact  bool
	false bool
}

// notices are the notices of the day that were not there before.
func (c *course) notices(day int, seen map[string]bool) (out []noticed) {
	s := c.subject(day)
	for _, n := range desk.Notices(desk.Subject{Student: s.Student, Standing: c.last, Log: s.Log, Library: s.Library, Zone: s.Zone}) {
		key := string(n.Kind) + " " + n.About
		if seen[key] {
			continue
		}
		seen[key] = true
		out = append(out, c.held(n))
	}
	return out
}

// held is the notice against the truth. Who is watched here has learned until
// now, so that any stall is a false one.
func (c *course) held(n desk.Notice) noticed {
	out := noticed{kind: n.Kind}
	switch n.Kind {
	case desk.Backwards:
		out.false = c.who.Chance(n.Evidence.Seconds, true) >= ProofFloor
	case desk.Ready:
		out.false = c.who.Chance(n.Evidence.Seconds, true) < assess.TargetP
	case desk.Stalled, desk.Slower:
		out.false = true
	default:
		out.fact = true
	}
	return out
}

// noticeReport counts what was noticed in so many student-weeks.
func noticeReport(all []noticed, weeks int) NoticeReport {
	r := NoticeReport{StudentWeeks: weeks, Kinds: []NoticeRate{}}
	aDay := func(n int) float64 { return float64(n) / float64(weeks) / 7 * deskOf }
	wrong := 0
	for _, kind := range desk.Kinds {
		var told [2]int
		fact := false
		for _, n := range all {
			if n.kind == kind {
				count(&told, n.false)
				fact = n.fact
			}
		}
		if told[1] == 0 {
			continue
		}
		one := NoticeRate{Kind: kind, New: told[1], ADay: aDay(told[1])}
		if !fact {
			share := shareOf(told)
			one.False = &share
		}
		wrong += told[0]
		r.Kinds = append(r.Kinds, one)
	}
	r.ADay, r.FalseADay = aDay(len(all)), aDay(wrong)
	return r
}
