package words

import (
	"regexp"
	"slices"
	"testing"
)

// What German lacks is English; what it has is its own, and English stays.
func TestGermanFallsBack(t *testing.T) {
	if got, want := German.Say("week.session.start", "start", "18:30"), English.Say("week.session.start", "start", "18:30"); got != want {
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

// formal are the words of the polite address in German, which only their capital
// tells from those for "they", "her" and "their".
var formal = regexp.MustCompile(`\b(Sie|Ihnen|Ihr|Ihre[mnrs]?)\b`)

// German speaks to the student as "du". No sentence of it begins with "sie" or
// "ihr", so that a capital there is always the polite address.
func TestGermanSaysDu(t *testing.T) {
	german := tongues[slices.IndexFunc(tongues, func(l tongue) bool { return l.code == "de" })]
	for _, x := range german.theirs(t) {
		if formal.MatchString(x.own) {
			t.Errorf("%s: %q", x.where, x.own)
		}
	}
}
