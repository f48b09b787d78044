package library

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"

	"aplomb/internal/practice"
)

// beyond says whether a drill waits for 15 s proven, or for more.
func beyond(d practice.Drill) bool {
	return slices.ContainsFunc(ways(d), func(s practice.Shown) bool { return s.Proven >= openSeconds })
}

// "At least 95 drills up to 15 s, at least eight for each of the nine
// components; at least 35 beyond."
func TestHowManyDrills(t *testing.T) {
	lib := Builtin()
	upTo, further, of := 0, 0, map[practice.Component]int{}
	for _, d := range lib.Drills {
		if beyond(d) {
			further++
			continue
		}
		upTo++
		of[d.Component]++
	}
	t.Logf("%d drills up to 15 s, %d beyond", upTo, further)
	if upTo < 95 || further < 35 {
		t.Errorf("%d drills up to 15 s, %d beyond", upTo, further)
	}
	for _, c := range lib.Components {
		if n := of[c.Name]; c.Beyond && n > 0 || !c.Beyond && n < 8 {
			t.Errorf("%s: %d drills up to 15 s", c.Name, n)
		}
	}
}

var sentence = regexp.MustCompile(`^[A-Z0-9].*[.!?]$`)

// Every drill is told whole, for a student who has nobody to ask.
func TestEveryDrillIsToldWhole(t *testing.T) {
	names := map[string]bool{}
	for _, d := range Builtin().Drills {
		if names[d.Name] {
			t.Errorf("two drills are called %q", d.Name)
		}
		names[d.Name] = true
		if len(d.Purpose) > 110 || len(d.Steps) < 3 || len(d.Steps) > 6 || len(d.Errors) != 2 {
			t.Errorf("%s: purpose of %d letters, %d steps, %d errors", d.ID, len(d.Purpose), len(d.Steps), len(d.Errors))
		}
		texts := append([]string{d.Purpose, d.Setup, d.Out, d.Criterion, d.NotFor}, d.Steps...)
		for _, e := range d.Errors {
			texts = append(texts, e.Error, e.Change)
		}
		for _, text := range texts {
			if !sentence.MatchString(text) {
				t.Errorf("%s: %q is no sentence", d.ID, text)
			}
		}
		for _, step := range d.Steps {
			if len(step) > 120 {
				t.Errorf("%s: a step of %d letters: %q", d.ID, len(step), step)
			}
		}
		kinds := map[practice.CueKind]bool{}
		for _, c := range d.Cues {
			kinds[c.Kind] = true
			if !sentence.MatchString(c.Text) || len(c.Text) > 100 {
				t.Errorf("%s: %q", d.ID, c.Text)
			}
		}
		if len(d.Cues) < 2 || len(d.Cues) > 4 || len(kinds) < 2 {
			t.Errorf("%s: %d cues of %d kinds", d.ID, len(d.Cues), len(kinds))
		}
		if d.Support == practice.Spotter && d.Spot == "" {
			t.Errorf("%s: nobody tells the spotter what to do", d.ID)
		}
	}
}

// Rests follow the work: 20 to 40 s after easy singles, 60 to 90 s after hard
// ones, 2 to 3 min after endurance sets (common practice, no source). A drill
// is hard here where it is upside down in the open and far beyond a beginner.
func TestRestsFollowTheWork(t *testing.T) {
	for _, d := range Builtin().Drills {
		rest := d.RestSeconds
		switch {
		case rest > 180:
			t.Errorf("%s: rests %v s", d.ID, rest)
		case beyond(d) && d.Support == practice.Open && rest < 60:
			t.Errorf("%s: free and beyond 15 s with a rest of %v s", d.ID, rest)
		case d.Component == "endurance" && d.Inverted() && d.Seconds >= 40 && rest < 120:
			t.Errorf("%s: %v s of endurance with a rest of %v s", d.ID, d.Seconds, rest)
		}
	}
}

// ease is the Flesch reading ease of English text (Flesch 1948, A new
// readability yardstick, J Appl Psychol 32:221): 60 to 70 is plain English, a
// popular newspaper; higher is easier. Syllables are counted by groups of
// vowels, without a silent e.
func ease(text string) float64 {
	sentences, words, syllables := 0, 0, 0
	for _, w := range strings.Fields(text) {
		if strings.ContainsAny(w, ".!?:;") {
			sentences++
		}
		letters := strings.Map(func(r rune) rune {
			if !unicode.IsLetter(r) {
				return -1
			}
			return unicode.ToLower(r)
		}, w)
		if letters == "" {
			continue
		}
		words++
		syllables += max(1, len(vowels.FindAllString(silent.ReplaceAllString(letters, ""), -1)))
	}
	return 206.835 - 1.015*float64(words)/float64(sentences) - 84.6*float64(syllables)/float64(words)
}

var (
	vowels = regexp.MustCompile(`[aeiouy]+`)
	silent = regexp.MustCompile(`(es|ed|[^aeiouyl]e|[aeiouy]le)$`)
)

// The text for the student reads like a newspaper, or easier; the figure is printed.
func TestReadingLevel(t *testing.T) {
	var all strings.Builder
	low, hardest := 200.0, ""
	for _, d := range Builtin().Drills {
		var own strings.Builder
		for _, s := range append([]string{d.Purpose, d.Setup, d.Out, d.Criterion}, d.Steps...) {
			own.WriteString(s + " ")
		}
		for _, e := range d.Errors {
			own.WriteString(e.Error + " " + e.Change + " ")
		}
		if score := ease(own.String()); score < low {
			low, hardest = score, d.ID
		}
		all.WriteString(own.String())
	}
	score := ease(all.String())
	t.Logf("Flesch reading ease %.0f over the library; the hardest drill %s, %.0f", score, hardest, low)
	if score < 60 || low < 50 {
		t.Errorf("reading ease %.0f, %s %.0f", score, hardest, low)
	}
}

// Flesch's own examples are long out of print; two lines counted by hand: 12
// words of 12 syllables in two sentences, and 6 words of 19 in one.
func TestEase(t *testing.T) {
	for _, c := range []struct {
		text string
		want float64
	}{
		{"Look at the floor. Push tall and squeeze the legs in line.", 206.835 - 1.015*6 - 84.6*12.0/12},
		{"Considerable compression necessitates individual preparatory examination.", 206.835 - 1.015*6 - 84.6*25.0/6},
	} {
		if got := ease(c.text); got < c.want-15 || got > c.want+15 {
			t.Errorf("%q: %.1f, by hand %.1f", c.text, got, c.want)
		}
	}
}
