package telling

import (
	"strings"
	"testing"

	"aplomb/internal/desk"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Every kind of notice has its three sentences, whole and with its figures.
func TestEveryNoticeIsSaid(t *testing.T) {
	day := practice.DateOf(2026, 6, 3)
	e := desk.Evidence{Since: day, Days: 12, N: 31, Of: 44, Share: .7, P: .85, Lo: .7, Hi: .925, Seconds: 15, Level: 5.5,
		Sites: []string{"wrist", "elbow"}, Drill: "heel-pulls", Component: "balance", Day: 1, Stops: true}
	shows := map[desk.Kind][]string{
		desk.Refer: {"5.5 of 10 (wrist, elbow)", "Wednesday 3 June"}, desk.Hurts: {"5.5 of 10"}, desk.Quiet: {"12 days"},
		desk.Backwards: {"15 s", "85%", "70 to 93%"}, desk.Stalled: {"31 weeks"}, desk.Ready: {"31 of 44", "85%"}, desk.Back: {"12 days"},
		desk.Muddy: {"Heel pulls"}, desk.Slower: {"31 weeks"}, desk.Hard: {"31 of 44"}, desk.Bunched: {"70%", "Tuesday"},
		desk.OneSided: {"balance", "31 of 44"}, desk.Thin: {"31 of 44"},
	}
	for _, k := range desk.Kinds {
		got := Notice(words.English, desk.Notice{Kind: k, Evidence: e}, func(string) string { return "Heel pulls" })
		for _, s := range []string{got.Title, got.Evidence, got.Step} {
			if s == "" || strings.ContainsAny(s, "{}") {
				t.Errorf("%s: %q", k, s)
			}
		}
		for _, part := range shows[k] {
			if !strings.Contains(got.Evidence, part) {
				t.Errorf("%s: %q lacks %q", k, got.Evidence, part)
			}
		}
		if len(shows[k]) == 0 {
			t.Errorf("%s: nothing to look for", k)
		}
	}
	numb := Notice(words.English, desk.Notice{Kind: desk.Refer, Evidence: desk.Evidence{Since: day, Sites: []string{""}}}, nil)
	if !strings.HasPrefix(numb.Title, "Numbness") || strings.Contains(numb.Evidence, "of 10") || strings.Contains(numb.Evidence, "(") || numb.Step == "" {
		t.Errorf("numbness: %+v", numb)
	}
	level := desk.Notice{Kind: desk.Hurts, Evidence: desk.Evidence{Since: day, Level: 4}}
	if got := Notice(words.English, level, nil); strings.Contains(got.Evidence, "(") || !strings.Contains(got.Step, "last week") {
		t.Errorf("pain without a site: %+v", got)
	}
}
