package cli

import (
	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

func printWeek(p *page, b *words.Book, r *reviewed) {
	d := &r.Draft
	monday := d.Week.ISOWeek.Monday()
	minutes := 0.0
	for _, s := range d.Week.Sessions {
		minutes += s.Minutes
	}
	if len(d.Week.Sessions) == 0 {
		p.par(2, b.Say("week.title.empty", "date", shortDate(b, monday)))
	} else {
		p.par(2, b.Say("week.title", "date", shortDate(b, monday), "sessions", len(d.Week.Sessions), "minutes", minutes))
	}
	p.par(2, telling.Notes(b, &r.Review)...)
	said := map[string]bool{}
	for _, s := range d.Week.Sessions {
		p.line("")
		printSession(p, b, r, s, said)
		if r.alone && !telling.HandsOff(s) {
			p.par(4, telling.Smaller(b, "smaller.tired", planning.Tired(s, r.Library)), telling.Smaller(b, "smaller.five", planning.FiveMinutes(s, r.Library)))
		}
	}
	if r.alone && len(d.Week.Sessions) > 0 {
		p.line("")
		stop := library.Advice().Stop
		p.par(2, stop.Name+".", stop.When, stop.Do)
	}
	if len(d.Week.DaysOff) > 0 {
		p.line("")
		var list []string
		for _, it := range d.Week.DaysOff {
			list = append(list, b.Say("item.dose", "name", it.Name, "dose", telling.Dose(b, r.Library, it)))
		}
		p.par(2, b.Say("week.daysoff", "list", b.List(list)))
	}
	if len(d.LeftOut) > 0 {
		p.line("")
		p.par(2, b.Say("week.left"))
		for _, l := range d.LeftOut {
			p.par(4, telling.LeftOut(b, &r.Review, l))
		}
	}
}

// printSession prints one session; cue and reason of a drill are said once a
// week, where it first comes.
func printSession(p *page, b *words.Book, r *reviewed, s practice.PlannedSession, said map[string]bool) {
	start, rides := "", ""
	if s.Start != "" {
		start = b.Say("week.session.start", "start", s.Start)
	}
	if s.RidesOn != "" {
		rides = b.Say("week.session.rides", "what", s.RidesOn)
	}
	p.par(2, b.Say("week.session", "day", dayName(b, s.Day), "start", start, "minutes", s.Minutes, "rides", rides))
	if telling.HandsOff(s) {
		p.par(4, b.Say("week.dayoff"))
	}
	tests := telling.TestsOn(&r.Review, s.Day)
	for _, block := range s.Blocks {
		if block.Kind != practice.PrepBlock && block.Kind != practice.ColdBlock {
			printFloorTests(p, b, r, tests)
			tests = nil
		}
		first, rest := margins(b.Say("block."+string(block.Kind)), block.Minutes)
		for _, it := range block.Items {
			p.hang(first, rest, b.Say("item.dose", "name", it.Name, "dose", telling.Dose(b, r.Library, it))+".")
			first = rest
			if it.Drill == practice.ColdTry && s.RidesOn != "" && said[it.Drill] {
				p.hang(rest, rest, b.Say("item.rides", "what", s.RidesOn))
			}
			if said[it.Drill] {
				continue
			}
			said[it.Drill] = true
			if it.Cue != "" {
				p.hang(rest, rest, "\""+it.Cue+"\"")
			}
			p.hang(rest, rest, it.Why)
		}
		if len(block.Items) == 0 {
			p.hang(first, rest, telling.BlockText(b, &r.Review, block.Kind))
		}
	}
}

// margins are what stands before the first line of a block, and before the rest.
func margins(label string, minutes float64) (first, rest string) {
	label = pad(label, 9) + padLeft(words.Number(minutes), 4) + " min  "
	return "    " + label, "    " + pad("", len(label))
}

// printFloorTests prints floor tests where they belong: while the student is fresh.
func printFloorTests(p *page, b *words.Book, r *reviewed, tests []planning.FloorTest) {
	for _, t := range tests {
		first, rest := margins(b.Say("block.test"), t.Minutes)
		p.hang(first, rest, telling.TestName(&r.Review, t)+".")
		p.hang(rest, rest, telling.TestWhy(b, t))
	}
}

func pad(s string, n int) string {
	for len(s) < n {
		s += " "
	}
	return s
}

func padLeft(s string, n int) string {
	for len(s) < n {
		s = " " + s
	}
	return s
}
