package planning

import "aplomb/internal/practice"

// ShareCode is why a week has more or less than the usual minutes.
type ShareCode string

// Why the minutes differ.
const (
	UsualMinutes ShareCode = "usual"
	LighterWeek  ShareCode = "lighter"
	BackFromGap  ShareCode = "back"
	CoachSaid    ShareCode = "coach"
)

// Share is the share of the usual minutes a week has, and why.
type Share struct {
	Of     float64
	Code   ShareCode
	Days   int    // BackFromGap: days since the last practice
	Reason string // CoachSaid: the coach's own words, if any
}

// share picks it: the coach's word first, then a return after a gap, then the
// lighter week that comes after so many weeks of practice. A missed day is
// never made up for.
func (in *Input) share() Share {
	for _, w := range in.wishes() {
		if w.Minutes != nil {
			return Share{Of: *w.Minutes, Code: CoachSaid, Reason: w.Reason}
		}
	}
	st := &in.Standing
	if len(st.Days) == 0 {
		return Share{Of: 1, Code: UsualMinutes}
	}
	if gap := int(in.Week.Monday() - st.LastDay); gap > in.Settings.GapDays {
		return Share{Of: in.Settings.GapShare, Code: BackFromGap, Days: gap}
	}
	if n := weeksOfPractice(st.Days, in.Week.Monday()); n > 0 && in.Settings.LighterEvery > 0 && (n+1)%in.Settings.LighterEvery == 0 {
		return Share{Of: in.Settings.LighterShare, Code: LighterWeek}
	}
	return Share{Of: 1, Code: UsualMinutes}
}

// weeksOfPractice counts the weeks before monday that had practice, back to
// the first that had none.
func weeksOfPractice(days []practice.Date, monday practice.Date) int {
	practised := map[practice.Date]bool{}
	for _, d := range days {
		practised[d-practice.Date(d.Weekday())] = true
	}
	n := 0
	for m := monday - 7; practised[m]; m -= 7 {
		n++
	}
	return n
}
