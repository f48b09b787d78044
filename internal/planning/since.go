package planning

import (
	"aplomb/internal/assess"
	"aplomb/internal/practice"
)

// Since is what changed in the seven days before a review: the standing then
// and now, and what was done. Whether a chance changed is judged by the
// interval of the week before: inside it, nothing is said to have changed.
type Since struct {
	From    practice.Date // the week's first day
	Seconds float64       // of the milestone whose chance is compared; 0: nothing to compare
	Was, Is assess.Chance // cold, at the end of the day before From, and now
	Sure    bool          // Is lies outside the interval of Was
	Proven  float64       // seconds of a milestone proven in these days; 0: none
	// WasLimiter and Limiter are empty where it was, or is, not known.
	WasLimiter, Limiter practice.Component
	Planned             int                     // sessions handed over for these days
	Done                int                     // days with practice
	Tries, Caught       int                     // free tries, in the open, logged one by one or counted
	Pain                practice.Maybe[float64] // the most that was logged, 0 to 10
}

// sinceDays is how many days a review looks back.
const sinceDays = 7

// since compares the standing with that of a week before.
func since(s assess.Subject, now assess.Standing) Since {
	then := s
	then.AsOf = s.AsOf - sinceDays
	was := assess.Stand(then)
	out := Since{From: s.AsOf - sinceDays + 1, WasLimiter: known(was), Limiter: known(now)}
	if m := now.Milestone; m.ReachedSeconds > was.Milestone.ReachedSeconds {
		out.Proven = m.ReachedSeconds
	}
	before, had := coldChance(was, now.Milestone.NextSeconds)
	if is, ok := coldChance(now, now.Milestone.NextSeconds); ok && had {
		out.Seconds, out.Was, out.Is = is.Seconds, before, is
		out.Sure = is.P < before.Lo || is.P > before.Hi
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

func coldChance(st assess.Standing, seconds float64) (assess.Chance, bool) {
	for _, c := range st.NowCold {
		if c.Seconds == seconds && seconds > 0 {
			return c, true
		}
	}
	return assess.Chance{}, false
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
