package words

import (
	"strings"
	"testing"
)

// What German lacks is English; what it has is its own, and English stays.
func TestGermanFallsBack(t *testing.T) {
	if got, want := German.Say("range", "lo", "1", "hi", "2"), English.Say("range", "lo", "1", "hi", "2"); got != want {
		t.Errorf("got %q, want %q", got, want)
	}
	if !German.HasPage("help") || German.Page("help") != English.Page("help") {
		t.Error("no page of help in German")
	}
	if g, e := German.Drill("open-try").Name, English.Drill("open-try").Name; g == "" || g == e {
		t.Errorf("German %q, English %q", g, e)
	}
	own := &Book{lines: map[string]string{"and": "und"}, pages: map[string]string{}}
	if own.over(testBook()).Say("and") != "und" || testBook().Say("and") != "and" || own.Say("plain") != "Good morning." {
		t.Error("over")
	}
}

// German speaks to the student as "du".
func TestGermanSaysDu(t *testing.T) {
	for _, id := range German.Drills() {
		d := German.Drill(id)
		for _, formal := range []string{" Ihr", " Ihnen", "Sie "} {
			if at := strings.Index(d.Purpose, formal); at > 0 {
				t.Errorf("%s: %q", id, d.Purpose)
			}
		}
	}
}

// Spanish tells a drill in its own words, and a page of help in English.
func TestSpanishFallsBack(t *testing.T) {
	if Spanish.Page("help") != English.Page("help") {
		t.Error("no page of help in Spanish")
	}
	if s, e := Spanish.Drill("frog-hold").Name, English.Drill("frog-hold").Name; s == "" || s == e {
		t.Errorf("Spanish %q, English %q", s, e)
	}
}
