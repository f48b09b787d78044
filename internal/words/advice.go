package words

import (
	"maps"
	"path"
	"slices"

	"aplomb/internal/practice"
)

// German has what a student reads. What else it lacks is English.
var German = mustLoad("de").over(English)

// Spanish has what a student reads. What else it lacks is English.
var Spanish = mustLoad("es").over(English)

// over is b with the sentences and pages of base where it has none itself.
func (b *Book) over(base *Book) *Book {
	for id, line := range base.lines {
		if _, own := b.lines[id]; !own {
			b.lines[id] = line
		}
	}
	for name, page := range base.pages {
		if _, own := b.pages[name]; !own {
			b.pages[name] = page
		}
	}
	return b
}

func mustLoadAdvice(dir string) practice.AdviceText {
	return practice.AdviceText{
		Troubles: mustLoadTexts[practice.TroubleText](path.Join(dir, "lookfor.json")),
		Lessons:  mustLoadTexts[practice.LessonText](path.Join(dir, "lessons.json")),
		Smaller:  mustLoadTexts[practice.SmallerText](path.Join(dir, "smaller.json")),
		Ladders:  mustLoadTexts[practice.LadderText](path.Join(dir, "ladders.json")),
	}
}

// Advice is the texts of the built-in advice; empty where this language has
// none.
func (b *Book) Advice() practice.AdviceText { return b.advice }

// Drills is the ids of the drills this language has a text for, in order.
func (b *Book) Drills() []string { return slices.Sorted(maps.Keys(b.drills)) }
