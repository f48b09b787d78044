package telling

import (
	"fmt"
	"strconv"

	"aplomb/internal/planning"
	"aplomb/internal/words"
)

// Since says what changed in the last week, and how surely; what did not change
// is said in a word.
func Since(b *words.Book, s *planning.Since) (out []string) {
	out = append(out, done(b, s))
	if s.Proven > 0 {
		out = append(out, b.Say("since.proven", "seconds", s.Proven))
	}
	for i, c := range s.Cold {
		if shown(s.Next, c.Is.Seconds, i == len(s.Cold)-1) {
			out = append(out, b.Say(changed(c), "seconds", c.Is.Seconds, "was", Chance(b, c.Was), "is", Chance(b, c.Is)))
		}
	}
	if s.Limiter != s.WasLimiter {
		name := func(c string) string {
			if c == "" {
				return b.Say("since.limiter.unknown")
			}
			return c
		}
		out = append(out, b.Say("since.limiter", "is", name(string(s.Limiter)), "was", name(string(s.WasLimiter))))
	}
	if was, is := s.HandMinutes[0], s.HandMinutes[1]; was > 0 || is > 0 {
		out = append(out, b.Say("since.hands", "was", was, "is", is))
	}
	if s.Pain.Known && s.Pain.Value > 0 {
		out = append(out, b.Say("since.pain", "n", strconv.FormatFloat(s.Pain.Value, 'g', -1, 64)))
	}
	return out
}

func changed(c planning.ChanceSince) string {
	switch {
	case c.Sure() && c.Is.P > c.Was.P:
		return "since.up"
	case c.Sure():
		return "since.down"
	}
	return "since.same"
}

// done is how much of what was planned was practised.
func done(b *words.Book, s *planning.Since) string {
	text := b.Say("since.done.free", "n", s.Done)
	if s.Planned > 0 {
		text = b.Say("since.done", "n", s.Done, "of", s.Planned)
	}
	if s.Tries > 0 {
		text += " " + b.Say("since.tries", "n", s.Tries, "caught", fmt.Sprint(s.Caught))
	}
	return text
}
