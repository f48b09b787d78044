package desk

import (
	"encoding/json"
	"fmt"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Look is what the desk works out of one student for a day, and keeps. It names
// no part of the body: where it hurts is health, and is read from the record
// when somebody who may see it looks.
type Look struct {
	Standing assess.Standing   `json:"standing"`
	Curve    []assess.Chance   `json:"curve"`
	Tries    []assess.OpenTry  `json:"tries"` // of twelve weeks
	Hands    []assess.HandWeek `json:"hands"` // of twelve weeks
	Notices  []Notice          `json:"notices"`
	Last     *practice.Date    `json:"last"` // day of the last practice, if any
}

// Brief is what the desk shows of everybody's look.
type Brief struct {
	Reached float64            `json:"reached,omitempty"` // seconds that are proven; 0: none
	Next    float64            `json:"next,omitempty"`    // seconds of the next milestone; 0: none
	Limiter practice.Component `json:"limiter,omitempty"` // empty where it is not known
	Last    *practice.Date     `json:"last,omitempty"`    // day of the last practice, if any
	Notices []Notice           `json:"notices,omitempty"`
}

// brief is the look in brief.
func (l Look) brief() Brief {
	b := Brief{Reached: l.Standing.Milestone.ReachedSeconds, Next: l.Standing.Milestone.NextSeconds, Last: l.Last, Notices: l.Notices}
	if l.Standing.LimiterKnown {
		b.Limiter = l.Standing.Limiter
	}
	return b
}

// lookWeeks is how many weeks of tries and load a look holds.
const lookWeeks = 12

// Work does the whole work of a look.
func Work(s assess.Subject) Look {
	l := Look{Standing: assess.Stand(s), Curve: assess.Curve(s), Tries: assess.OpenTries(s, 7*lookWeeks), Hands: assess.HandWeeks(s, lookWeeks)}
	l.Notices = Notices(Subject{Student: s.Student, Standing: l.Standing, Log: s.Log, Library: s.Library, Zone: s.Zone})
	if n := len(l.Standing.Days); n > 0 {
		l.Last = &l.Standing.Days[n-1]
	}
	l.Standing.Load.PainSites = nil
	l.Standing.Stops = slices.Clone(l.Standing.Stops)
	for i := range l.Standing.Stops {
		l.Standing.Stops[i].Site = ""
	}
	for i := range l.Notices {
		l.Notices[i].Evidence.Sites = nil
	}
	return l
}

func (l Look) kept(student string, day practice.Date, seen int64) (practice.Look, error) {
	doc, err := json.Marshal(l)
	if err != nil {
		return practice.Look{}, fmt.Errorf("desk: %w", err)
	}
	brief, err := json.Marshal(l.brief())
	if err != nil {
		return practice.Look{}, fmt.Errorf("desk: %w", err)
	}
	return practice.Look{Student: student, AsOf: day, Seen: seen, Brief: brief, Doc: doc}, nil
}

// parse reads what was kept of a look: the whole, or the brief.
func parse[T Look | Brief](doc []byte) (l T, err error) {
	if err = json.Unmarshal(doc, &l); err != nil {
		err = practice.Fault{Code: practice.StoreBroken, Field: "look", Err: err}
	}
	return l, err
}
