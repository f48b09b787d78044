package planning

import (
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Since is what changed in the seven days before a review: the standing then
// and now, and what was done. Whether a chance changed is judged by the
// interval of the week before: inside it, nothing is said to have changed.
type Since struct {
	From   practice.Date // the week's first day
	Next   float64       // seconds of the next milestone; 0: all are proven
	Cold   []ChanceSince // first tries of the day, by milestone; empty: nothing to compare
	Proven float64       // seconds of a milestone proven in these days; 0: none
	// WasLimiter and Limiter are empty where it was, or is, not known.
	WasLimiter, Limiter practice.Component
	HandMinutes         [2]float64              // weight on the hands in the whole week before the last, and in the last
	Planned             int                     // sessions handed over for these days
	Done                int                     // days with practice
	Tries, Caught       int                     // free tries, in the open, logged one by one or counted
	Pain                practice.Maybe[float64] // the most that was logged, 0 to 10
}

// ChanceSince is the chance of a hold at the end of the day before From, and now.
type ChanceSince struct{ Was, Is assess.Chance }

// Sure says whether the chance of now lies outside the interval of then.
func (c ChanceSince) Sure() bool { return c.Is.P < c.Was.Lo || c.Is.P > c.Was.Hi }

// sinceDays is how many days a review looks back.
const sinceDays = 7

// since compares the standing with that of a week before.
func since(s assess.Subject, now assess.Standing) Since {
	then := s
	then.AsOf = s.AsOf - sinceDays
	was := assess.Stand(then)
	out := Since{From: s.AsOf - sinceDays + 1, WasLimiter: known(was), Limiter: known(now), Next: now.Milestone.NextSeconds,
		HandMinutes: [2]float64{was.Load.WeekHandMinutes, now.Load.WeekHandMinutes}}
	if m := now.Milestone; m.ReachedSeconds > was.Milestone.ReachedSeconds {
		out.Proven = m.ReachedSeconds
	}
	for _, is := range now.NowCold {
		i := slices.IndexFunc(was.NowCold, func(c assess.Chance) bool { return c.Seconds == is.Seconds })
		if i >= 0 {
			out.Cold = append(out.Cold, ChanceSince{was.NowCold[i], is})
		}
	}
	out.did(s, now)
	return out
}

func known(st assess.Standing) practice.Component {
	if !st.LimiterKnown {
		return ""
	}
	return st.Limiter
}

// did counts what was planned and done.
func (out *Since) did(s assess.Subject, now assess.Standing) {
	inside := func(day practice.Date) bool { return day >= out.From && day <= s.AsOf }
	for _, day := range now.Days {
		if inside(day) {
			out.Done++
		}
	}
	newest := map[practice.ISOWeek]practice.Week{}
	for _, w := range s.Log.Weeks {
		if newest[w.ISOWeek].Version < w.Version {
			newest[w.ISOWeek] = w
		}
	}
	for _, w := range newest {
		for _, p := range w.Sessions {
			if inside(w.ISOWeek.Monday() + practice.Date(p.Day)) {
				out.Planned++
			}
		}
	}
	for _, t := range assess.OpenTries(s, sinceDays) {
		out.Tries++
		if t.Caught {
			out.Caught++
		}
	}
	for _, session := range s.Log.Sessions {
		if !inside(s.Day(session.At)) {
			continue
		}
		for _, p := range []practice.Maybe[float64]{session.PainBefore, session.Pain, session.PainMorning} {
			if p.Known && (!out.Pain.Known || p.Value > out.Pain.Value) {
				out.Pain = p
			}
		}
	}
}
