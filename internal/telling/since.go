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
	if s.Seconds > 0 {
		id := "since.same"
		switch {
		case s.Sure && s.Is.P > s.Was.P:
			id = "since.up"
		case s.Sure:
			id = "since.down"
		}
		out = append(out, b.Say(id, "seconds", s.Seconds, "was", Chance(b, s.Was), "is", Chance(b, s.Is)))
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
	if s.Pain.Known && s.Pain.Value > 0 {
		out = append(out, b.Say("since.pain", "n", strconv.FormatFloat(s.Pain.Value, 'g', -1, 64)))
	}
	return out
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
