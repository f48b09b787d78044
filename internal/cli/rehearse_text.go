package cli

import (
	"fmt"
	"strconv"
	"strings"

	"aplomb/internal/rehearse"
	"aplomb/internal/words"
)

func printRehearsed(env *Env, b *words.Book, r *rehearsed) error {
	p := newPage(env.Stdout)
	p.par(0, b.Say("rehearse.title", "students", r.Students, "weeks", r.Weeks, "seed", strconv.FormatUint(r.Seed, 10)))
	p.line("")
	printSpeed(p, b, &r.Report)
	for i := range r.Policies {
		p.line("")
		printHonesty(p, b, &r.Policies[i])
	}
	p.line("")
	p.par(0, b.Say("rehearse.passes"))
	for _, pass := range r.Passes {
		p.line("  " + b.Say("rehearse.pass", "q", fmt.Sprintf("%.2f", pass.Chance), "share", shareText(pass.Declared)))
	}
	p.line("")
	printStalls(p, b, &r.Stalls)
	p.line("")
	p.par(0, b.Say("rehearse.roster", "students", r.Recovery.Students, "weeks", r.Recovery.Weeks, "drills", r.Recovery.Drills,
		"share", shareText(r.Recovery.Difficulties), "error", fmt.Sprintf("%.2f", r.Recovery.Error), "guess", fmt.Sprintf("%.2f", r.Recovery.Guess)))
	p.par(0, b.Say("rehearse.after", "students", r.After.Students, "first", shareText(r.After.Limiter.First), "two", shareText(r.After.Limiter.TopTwo),
		"known", shareText(r.After.Limiter.Known), "right", shareText(r.After.Limiter.Right), "weeks", weeksText(r.After.Median),
		"mean", fmt.Sprintf("%+.1f", r.After.Against.Mean), "lo", fmt.Sprintf("%+.1f", r.After.Against.Lo), "hi", fmt.Sprintf("%+.1f", r.After.Against.Hi)))
	p.line("")
	p.par(0, b.Say("rehearse.caution"))
	return p.flush()
}

// printSpeed prints how soon each policy came to the goal.
func printSpeed(p *page, b *words.Book, r *rehearse.Report) {
	p.par(0, b.Say("rehearse.speed"))
	rows := [][]string{{b.Say("rehearse.policy"), b.Say("rehearse.minutes"), b.Say("rehearse.tests"), b.Say("rehearse.quartiles"), b.Say("rehearse.within"), b.Say("rehearse.end"), b.Say("rehearse.first")}}
	for _, q := range r.Policies {
		against := ""
		if q.Against != nil {
			against = fmt.Sprintf("%+.1f (%+.1f to %+.1f)", q.Against.Mean, q.Against.Lo, q.Against.Hi)
		}
		rows = append(rows, []string{q.Policy, fmt.Sprintf("%d (%.0f)", q.MinutesAWeek, q.Practised), fmt.Sprintf("%.1f", q.Tests),
			weeksText(q.Lower) + " " + weeksText(q.Median) + " " + weeksText(q.Upper), shareText(q.Within), fmt.Sprintf("%.2f", q.AtTheEnd), against})
	}
	printTable(p, rows)
}

func printHonesty(p *page, b *words.Book, q *rehearse.PolicyReport) {
	p.par(0, b.Say("rehearse.honesty", "policy", q.Policy))
	rows := [][]string{{b.Say("rehearse.month"), b.Say("rehearse.chance"), b.Say("rehearse.components"), b.Say("rehearse.forecast"), b.Say("rehearse.bias")}}
	for _, m := range q.Months {
		rows = append(rows, []string{strconv.Itoa(m.Month), coverText(m.Chance), coverText(m.Components), coverText(m.Forecast), fmt.Sprintf("%+.3f", m.Bias)})
	}
	printTable(p, rows)
	p.par(0, b.Say("rehearse.proven", "n", q.Proven.Proofs, "floor", fmt.Sprintf("%.2f", q.Proven.Floor), "share", shareText(q.Proven.Under)))
	if q.Limiter.First.N > 0 {
		p.par(0, b.Say("rehearse.limiter", "n", q.Limiter.First.N, "first", shareText(q.Limiter.First), "two", shareText(q.Limiter.TopTwo),
			"known", shareText(q.Limiter.Known), "right", shareText(q.Limiter.Right)))
		rows := [][]string{{b.Say("rehearse.next"), b.Say("rehearse.named"), b.Say("rehearse.two")}}
		for _, n := range q.Limiter.Next {
			rows = append(rows, []string{words.Number(n.Seconds) + " s", shareText(n.First), shareText(n.TopTwo)})
		}
		printTable(p, rows)
	}
}

func printStalls(p *page, b *words.Book, r *rehearse.StallReport) {
	p.par(0, b.Say("rehearse.stalls", "students", r.Students, "after", r.StopsAfter))
	for _, a := range []struct {
		name string
		rehearse.Alarm
	}{{"rehearse.look", r.Look}, {"rehearse.act", r.Act}} {
		p.par(2, b.Say(a.name, "false", shareText(a.False), "told", shareText(a.Told), "weeks", weeksText(a.WeeksTo)))
	}
	printNotices(p, b, &r.Notices)
}

// printNotices is what a desk of many students would have noticed a day.
func printNotices(p *page, b *words.Book, r *rehearse.NoticeReport) {
	p.par(0, b.Say("rehearse.notices", "n", r.StudentWeeks, "all", fmt.Sprintf("%.1f", r.ADay), "false", fmt.Sprintf("%.1f", r.FalseADay)))
	rows := [][]string{{b.Say("rehearse.notice"), b.Say("rehearse.new"), b.Say("rehearse.aday"), b.Say("rehearse.false")}}
	for _, k := range r.Kinds {
		wrong := b.Say("rehearse.fact")
		if k.False != nil {
			wrong = shareText(*k.False)
		}
		rows = append(rows, []string{b.Say("kind." + string(k.Kind)), fmt.Sprint(k.New), fmt.Sprintf("%.2f", k.ADay), wrong})
	}
	printTable(p, rows)
}

func printSensitivity(env *Env, b *words.Book, study rehearse.Study, runs []rehearse.Moved) error {
	p := newPage(env.Stdout)
	p.par(0, b.Say("rehearse.ends", "students", study.Students, "weeks", study.Weeks, "policy", study.Policies[0].Name))
	rows := [][]string{{b.Say("rehearse.parameter"), b.Say("rehearse.within"), b.Say("rehearse.end"), b.Say("rehearse.chance"), b.Say("rehearse.components")}}
	for _, r := range runs {
		name := b.Say("rehearse.defaults")
		if r.Parameter != "" {
			name = fmt.Sprintf("%s %.3g (%.3g)", r.Parameter, r.Value, r.Default)
		}
		rows = append(rows, []string{name, shareText(r.Report.Within), fmt.Sprintf("%.2f", r.Report.AtTheEnd),
			rangeText(r.Report.Months, func(m rehearse.Month) rehearse.Share { return m.Chance }),
			rangeText(r.Report.Months, func(m rehearse.Month) rehearse.Share { return m.Components })})
	}
	printTable(p, rows)
	return p.flush()
}

// rangeText is the least and the most coverage of the months from the second on.
func rangeText(months []rehearse.Month, of func(rehearse.Month) rehearse.Share) string {
	lo, hi := 1.0, 0.0
	for _, m := range months[1:] {
		if s := of(m); s.N > 0 {
			lo, hi = min(lo, s.P), max(hi, s.P)
		}
	}
	return fmt.Sprintf("%.0f to %.0f%%", 100*lo, 100*hi)
}

func shareText(s rehearse.Share) string {
	if s.N == 0 {
		return "-"
	}
	return fmt.Sprintf("%.1f%% (%.1f to %.1f)", 100*s.P, 100*s.Lo, 100*s.Hi)
}

func coverText(s rehearse.Share) string {
	if s.N == 0 {
		return "-"
	}
	return fmt.Sprintf("%.0f%% (%.0f to %.0f)", 100*s.P, 100*s.Lo, 100*s.Hi)
}

func weeksText(n *int) string {
	if n == nil {
		return "-"
	}
	return strconv.Itoa(*n)
}

// printTable prints rows in columns, the first one left, two spaces between.
func printTable(p *page, rows [][]string) {
	wide := make([]int, len(rows[0]))
	for _, row := range rows {
		for i, cell := range row {
			wide[i] = max(wide[i], len(cell))
		}
	}
	for _, row := range rows {
		var line strings.Builder
		for i, cell := range row {
			fmt.Fprintf(&line, "  %-*s", wide[i], cell)
		}
		p.line(strings.TrimRight(line.String(), " "))
	}
}
