package telling

import (
	"math"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Difficulty says how hard a drill turned out: of tries that the guess has
// passing half the time, how many pass.
func Difficulty(b *words.Book, lib *practice.Library, d *assess.DrillDifficulty) string {
	id := "learn.difficulty.same"
	switch {
	case d.Lo > d.Guess:
		id = "learn.difficulty.harder"
	case d.Hi < d.Guess:
		id = "learn.difficulty.easier"
	}
	return b.Say(id, "drill", DrillName(lib, d.Drill), "component", string(d.Component),
		"chance", fromHalf(b, -d.Shift, d.Guess-d.Hi, d.Guess-d.Lo), "tries", d.Tries, "students", d.Students)
}

// fromHalf is what so many logits make of an even chance.
func fromHalf(b *words.Book, mean, lo, hi float64) string {
	even := func(logit float64) float64 { return 1 / (1 + math.Exp(-logit)) }
	return Chance(b, assess.Chance{P: even(mean), Lo: even(lo), Hi: even(hi)})
}

// tenSets is the dose an effect is told in.
const tenSets = 10

// Effect says what ten sets of a drill give the group, where that is told.
func Effect(b *words.Book, lib *practice.Library, e *assess.DrillEffect) string {
	id := "learn.effect.unsure"
	switch {
	case e.Group.Lo > 0:
		id = "learn.effect.helps"
	case e.Group.Hi < 0:
		id = "learn.effect.sets-back"
	}
	test, _ := lib.Probe(e.Test)
	return b.Say(id, "drill", DrillName(lib, e.Drill), "component", string(e.Component),
		"chance", fromHalf(b, tenSets*e.Group.Mean, tenSets*e.Group.Lo, tenSets*e.Group.Hi),
		"students", e.Students, "sets", math.Round(e.Sets), "test", test.Name)
}

// Said is what students said of a drill, or of a cue of it.
func Said(b *words.Book, lib *practice.Library, s *assess.SaidOf) string {
	id, cue := "learn.marks.drill", s.Cue
	if cue != "" {
		id = "learn.marks.cue"
	}
	if d, ok := lib.Drill(s.Drill); ok {
		for _, c := range d.Cues {
			if c.ID == s.Cue {
				cue = c.Text
			}
		}
	}
	return b.Say(id, "drill", DrillName(lib, s.Drill), "cue", cue, "n", s.Voices(), "helped", s.Helped, "confusing", s.Confusing,
		"helps", Share(b, s.Helps), "confuses", Share(b, s.Confuses))
}

// Share is a proportion with its interval.
func Share(b *words.Book, s assess.Proportion) string {
	return Chance(b, assess.Chance{P: s.P, Lo: s.Lo, Hi: s.Hi})
}

// Lore says what the logs of a studio tell of one drill, and what they do not.
func Lore(b *words.Book, lib *practice.Library, l *assess.Learned, drill string) (out []string) {
	for _, u := range l.Uses {
		if u.Drill == drill {
			out = append(out, b.Say("lore.uses", "students", u.Students, "sets", math.Round(u.Sets)))
		}
	}
	for i := range l.Difficulties {
		if d := &l.Difficulties[i]; d.Drill == drill {
			if d.Status == assess.Enough {
				out = append(out, b.Say("lore.difficulty", "text", Difficulty(b, lib, d)))
			} else {
				out = append(out, b.Say("lore.difficulty.few", "tries", d.Tries, "students", d.Students))
			}
		}
	}
	for i := range l.Effects {
		if e := &l.Effects[i]; e.Drill == drill {
			if e.Status == assess.Enough {
				out = append(out, b.Say("lore.effect", "text", Effect(b, lib, e)))
			} else {
				out = append(out, b.Say("lore.effect."+string(e.Status), "students", e.Students, "sets", math.Round(e.Sets)))
			}
		}
	}
	for _, all := range [][]assess.SaidOf{l.Marks.Drills, l.Marks.Cues} {
		for i := range all {
			if s := &all[i]; s.Drill == drill && s.Status == assess.Enough {
				out = append(out, Said(b, lib, s))
			} else if s.Drill == drill && s.Cue == "" {
				out = append(out, b.Say("lore.marks.few", "n", s.Voices(), "helped", s.Helped, "confusing", s.Confusing))
			}
		}
	}
	return out
}
