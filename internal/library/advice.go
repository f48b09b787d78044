package library

import (
	"cmp"
	"slices"
	"sync"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Advice is the advice that ships with the program, in English: what to look
// for, lessons, smaller sessions, ladders. Every caller gets the same one: it
// must not be changed. It panics where the embedded files are not sound.
func Advice() *practice.Advice { return advice() }

var advice = sync.OnceValue(func() *practice.Advice {
	bare := bareAdvice()
	told := bare.Told(words.English.Advice(), Builtin())
	if faults := CheckAdvice(Builtin(), &told); len(faults) > 0 {
		panic("library: " + practice.Faults(faults).Error())
	}
	return &told
})

// AdviceIn is the advice in another language; what that language has no text
// for stays English.
func AdviceIn(book *words.Book) *practice.Advice {
	told := Advice().Told(book.Advice(), In(book))
	return &told
}

// bareAdvice is the advice's figures, without a word to read.
func bareAdvice() practice.Advice {
	var a practice.Advice
	mustRead("lookfor", &a.Troubles)
	mustRead("lessons", &a.Lessons)
	var smaller struct {
		Versions []practice.Smaller `json:"versions"`
		Stop     practice.StopRule  `json:"stop"`
	}
	mustRead("smaller", &smaller)
	a.Smaller, a.Stop = smaller.Versions, smaller.Stop
	mustRead("ladders", &a.Ladders)
	for _, row := range a.Troubles {
		easyFirst(row.Drills)
	}
	for _, l := range a.Ladders {
		for _, r := range l.Rungs {
			easyFirst(r.Drills)
		}
	}
	return a
}

// easyFirst orders drills of the built-in library by difficulty.
func easyFirst(drills []string) {
	difficulty := func(id string) float64 {
		d, _ := Builtin().Drill(id)
		return d.Difficulty
	}
	slices.SortStableFunc(drills, func(a, b string) int { return cmp.Compare(difficulty(a), difficulty(b)) })
}
