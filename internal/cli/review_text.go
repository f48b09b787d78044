package cli

import (
	"aplomb/internal/assess"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

func printReviews(env *Env, b *words.Book, reviews []reviewed) error {
	p := newPage(env.Stdout)
	for i := range reviews {
		r := &reviews[i]
		telling.Dress(b, &r.Review)
		p.par(0, b.Say("review.title", "name", r.Student.Name, "date", longDate(b, r.Standing.AsOf)))
		p.line("")
		printStanding(p, b, r)
		p.line("")
		printWeek(p, b, r)
		p.line("")
	}
	if len(reviews) == 0 {
		p.par(0, b.Say("none"))
		return p.flush()
	}
	p.par(0, b.Say("caution"))
	return p.flush()
}

// printStanding says where the student stands, a paragraph a topic, what is
// stopped first.
func printStanding(p *page, b *words.Book, r *reviewed) {
	st := &r.Standing
	for _, s := range st.Stops {
		if s.Source != assess.SourcePain {
			p.par(2, telling.Stop(b, s))
		}
	}
	p.par(2, telling.Pains(b, &st.Load)...)
	p.par(2, telling.Chances(b, &r.Review)...)
	p.par(2, telling.Window(b, &st.Holds)...)
	p.par(2, telling.Proven(b, &r.Review)...)
	p.par(2, telling.Forecast(b, &st.Milestone)...)
	p.par(2, telling.Limits(b, &r.Review)...)
	printLookFor(p, b, r)
	p.par(2, telling.Hands(b, &st.Load)...)
	p.par(2, telling.ToSay(b, &r.Review)...)
}

// printLookFor says what to look for where the falls mostly go one way.
func printLookFor(p *page, b *words.Book, r *reviewed) {
	if len(r.Draft.LookFor) == 0 {
		return
	}
	falls := 0
	for end, n := range r.Standing.Holds.Ends {
		if end.Fell() {
			falls += n
		}
	}
	p.par(2, b.Say("look.title", "n", r.Standing.Holds.Ends[r.Draft.Falls], "falls", falls, "way", b.Say("look.way."+string(r.Draft.Falls))))
	for _, t := range r.Draft.LookFor {
		p.par(4, b.Say("look.row", "look", t.Look, "check", t.Check, "drill", telling.DrillName(r.Library, t.Drills[0]), "cue", t.Cue.Text))
	}
}
