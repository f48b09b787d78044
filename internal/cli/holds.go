package cli

import (
	"fmt"
	"math"

	"aplomb/internal/assess"
	"aplomb/internal/folder"
	"aplomb/internal/holds"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// holdsCommand prints what one file of attempts says of holding.
type holdsCommand struct {
	Attempts string   `arg:""`
	AtLeast  number   `default:"15" placeholder:"SECONDS"`
	By       grouping `placeholder:"GROUP"`
	Compare  bool     ``
	Interval band     `default:"log-log" placeholder:"KIND"`
	Level    number   `default:"0.95" placeholder:"LEVEL"`
	JSON     bool     `name:"json"`
}

// Run reads, sorts into groups and prints.
func (c *holdsCommand) Run(env *Env) error {
	b := words.English
	switch {
	case !(c.Level > 0 && c.Level < 1):
		return &misuseError{fmt.Errorf("%s", b.Say("misuse.level")), "holds"}
	case !(c.AtLeast > 0 && c.AtLeast <= practice.MaxHoldS):
		return &misuseError{fmt.Errorf("%s", b.Say("misuse.seconds")), "holds"}
	case c.Compare && c.By.By == assess.ByNone:
		return &misuseError{fmt.Errorf("%s", b.Say("misuse.compare")), "holds"}
	}
	attempts, err := readAttempts(c.Attempts)
	if err != nil {
		return err
	}
	report := c.report(attempts)
	if c.JSON {
		return printJSON(env, report)
	}
	return printHolds(env, b, c, report)
}

func readAttempts(path string) ([]practice.Attempt, error) {
	f, err := openFile(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var faults practice.Faults
	var attempts []practice.Attempt
	for a := range folder.Attempts(f, path, &faults) {
		attempts = append(attempts, a)
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return attempts, nil
}

// holdsJSON is the answer of `holds --json`: the whole file, and with --by its
// groups.
type holdsJSON struct {
	groupJSON
	Groups  []groupJSON  `json:"groups,omitempty"`
	Compare *compareJSON `json:"compare,omitempty"`
}

type groupJSON struct {
	Group     string         `json:"group,omitempty"`
	Attempts  int            `json:"attempts"`
	Caught    int            `json:"caught"`
	Falls     int            `json:"falls"`
	Censored  int            `json:"censored"`
	Excluded  int            `json:"excluded"`
	Unknown   int            `json:"unknown_drill"`
	Catch     *assess.Chance `json:"catch"`
	Curve     []pointJSON    `json:"curve"`
	Quantiles []quantileJSON `json:"quantiles"`
	Mean      *meanJSON      `json:"restricted_mean"`
	AtLeast   *assess.Chance `json:"at_least"`
	Proven    provenJSON     `json:"proven"`
}

type pointJSON struct {
	Seconds  float64  `json:"seconds"`
	AtRisk   int      `json:"at_risk"`
	Falls    int      `json:"falls"`
	Censored int      `json:"censored"`
	Survival float64  `json:"survival"`
	StdErr   *float64 `json:"std_err"`
	Lo       *float64 `json:"lo"`
	Hi       *float64 `json:"hi"`
}

type quantileJSON struct {
	Q       float64  `json:"q"`
	Seconds *float64 `json:"seconds"`
	Lo      *float64 `json:"lo"`
	Hi      *float64 `json:"hi"`
}

type meanJSON struct {
	Upto    float64 `json:"upto"`
	Seconds float64 `json:"seconds"`
	StdErr  float64 `json:"std_err"`
}

// provenJSON is what each student's cold tries show of one length of hold, as
// of the last day in the file.
type provenJSON struct {
	Seconds  float64        `json:"seconds"`
	AsOf     *practice.Date `json:"as_of"`
	Students []studentProof `json:"students"`
}

type studentProof struct {
	Student string `json:"student"`
	assess.Proven
}

type compareJSON struct {
	Groups []compareGroup `json:"groups"`
	ChiSq  float64        `json:"chisq"`
	DF     int            `json:"df"`
	P      float64        `json:"p"`
}

type compareGroup struct {
	Group    string  `json:"group"`
	N        int     `json:"n"`
	Observed float64 `json:"observed"`
	Expected float64 `json:"expected"`
}

func (c *holdsCommand) report(attempts []practice.Attempt) holdsJSON {
	lib := library.Builtin()
	whole := assess.Group{}
	if all := assess.Groups(lib, attempts, assess.ByNone); len(all) > 0 {
		whole = all[0]
	}
	last := lastDay(attempts)
	out := holdsJSON{groupJSON: c.group(whole, last)}
	if c.By.By == assess.ByNone {
		return out
	}
	groups := assess.Groups(lib, attempts, c.By.By)
	for _, g := range groups {
		out.Groups = append(out.Groups, c.group(g, last))
	}
	if c.Compare {
		out.Compare = compare(groups)
	}
	return out
}

func lastDay(attempts []practice.Attempt) *practice.Date {
	var last *practice.Date
	for i := range attempts {
		if day := attempts[i].At.Date(); last == nil || day > *last {
			last = &day
		}
	}
	return last
}

func (c *holdsCommand) group(g assess.Group, last *practice.Date) groupJSON {
	t := g.Tries
	out := groupJSON{Group: g.Name, Attempts: t.Attempts, Caught: t.Caught, Excluded: t.Excluded, Unknown: g.Unknown,
		Curve: []pointJSON{}, Quantiles: []quantileJSON{}, Proven: provenJSON{Seconds: float64(c.AtLeast), AsOf: last, Students: []studentProof{}}}
	if share, err := t.Catch(holds.Wilson, float64(c.Level)); err == nil {
		out.Catch = &assess.Chance{P: share.P, Lo: share.Lo, Hi: share.Hi, Level: share.Level, Method: string(share.Method)}
	}
	if ch, err := t.AtLeast(float64(c.AtLeast), float64(c.Level)); err == nil {
		out.AtLeast = &assess.Chance{Seconds: ch.Seconds, P: ch.P, Lo: ch.Lo, Hi: ch.Hi, Level: ch.Level, Method: string(ch.Method)}
	}
	if curve, err := holds.KaplanMeier(t.Holds, c.Interval.Band, float64(c.Level)); err == nil {
		out.addCurve(&curve, float64(c.AtLeast))
	}
	for _, cold := range g.Cold {
		out.Proven.Students = append(out.Proven.Students, studentProof{cold.Student, cold.Proven(float64(c.AtLeast), *last)})
	}
	return out
}

func (g *groupJSON) addCurve(curve *holds.Curve, upto float64) {
	g.Falls, g.Censored = curve.Falls, curve.Censored
	for _, pt := range curve.Points {
		g.Curve = append(g.Curve, pointJSON{pt.Seconds, pt.AtRisk, pt.Falls, pt.Censored, pt.Survival,
			assess.Finite(pt.StdErr), assess.Finite(pt.Lo), assess.Finite(pt.Hi)})
	}
	for _, q := range []float64{0.25, 0.5, 0.75} {
		at := curve.Quantile(q)
		g.Quantiles = append(g.Quantiles, quantileJSON{q, assess.Finite(at.Seconds), assess.Finite(at.Lo), assess.Finite(at.Hi)})
	}
	mean, err := curve.RestrictedMean(upto)
	if err != nil { // not followed that far: as far as the longest hold
		mean, err = curve.RestrictedMean(curve.Points[len(curve.Points)-1].Seconds)
	}
	if err == nil {
		g.Mean = &meanJSON{mean.Upto, mean.Seconds, mean.StdErr}
	}
}

// compare is the log-rank test over the groups; nil where they cannot be
// compared.
func compare(groups []assess.Group) *compareJSON {
	if len(groups) < 2 {
		return nil
	}
	all := make([][]holds.Hold, len(groups))
	for i := range groups {
		all[i] = groups[i].Tries.Holds
	}
	test, err := holds.LogRank(all, 0)
	if err != nil {
		return nil
	}
	out := &compareJSON{ChiSq: test.ChiSq, DF: test.DF, P: test.P}
	for i, g := range test.Groups {
		out.Groups = append(out.Groups, compareGroup{groups[i].Name, g.N, g.Observed, g.Expected})
	}
	return out
}

func printHolds(env *Env, b *words.Book, c *holdsCommand, r holdsJSON) error {
	p := newPage(env.Stdout)
	printGroup(p, b, c, &r.groupJSON, 0)
	if len(r.Groups) == 0 && r.Attempts > 0 {
		printCurve(p, b, &r.groupJSON)
	}
	for i := range r.Groups {
		p.line("")
		p.par(0, b.Say("holds.group", "name", r.Groups[i].Group))
		printGroup(p, b, c, &r.Groups[i], 2)
	}
	if c.Compare {
		p.line("")
		printCompare(p, b, r.Compare)
	}
	return p.flush()
}

func printGroup(p *page, b *words.Book, c *holdsCommand, g *groupJSON, indent int) {
	if g.Unknown > 0 {
		p.par(indent, b.Say("holds.unknown", "n", g.Unknown))
	}
	if g.Excluded > 0 {
		p.par(indent, b.Say("holds.excluded", "n", g.Excluded))
	}
	if g.Attempts == 0 {
		p.par(indent, b.Say("holds.none"))
		return
	}
	p.par(indent, b.Say("holds.title", "attempts", g.Attempts, "caught", g.Caught, "falls", g.Falls, "censored", g.Censored))
	p.par(indent, b.Say("holds.catch", "chance", telling.Chance(b, *g.Catch), "level", words.Percent(float64(c.Level))))
	if g.AtLeast != nil {
		p.par(indent, b.Say("holds.atleast", "seconds", float64(c.AtLeast), "chance", telling.Chance(b, *g.AtLeast)))
	} else {
		p.par(indent, b.Say("holds.atleast.unknown", "seconds", float64(c.AtLeast)))
	}
	if len(g.Quantiles) > 0 {
		if m := g.Quantiles[1]; m.Seconds != nil {
			p.par(indent, b.Say("holds.median", "seconds", *m.Seconds, "lo", limit(b, m.Lo), "hi", limit(b, m.Hi)))
		} else {
			p.par(indent, b.Say("holds.median.open"))
		}
	}
	if g.Mean != nil && g.Falls > 0 {
		p.par(indent, b.Say("holds.mean", "upto", g.Mean.Upto, "seconds", g.Mean.Seconds, "se", fmt.Sprintf("%.2f", g.Mean.StdErr)))
	}
	printProofs(p, b, &g.Proven, indent)
}

func printProofs(p *page, b *words.Book, proven *provenJSON, indent int) {
	said := false
	for _, s := range proven.Students {
		if s.Tries == 0 {
			continue
		}
		id := "holds.notproven"
		if s.Declared {
			id = "holds.proven"
		}
		said = true
		p.par(indent, b.Say(id, "student", s.Student, "seconds", proven.Seconds, "passes", s.Passes, "tries", s.Tries, "days", s.Days))
	}
	if !said {
		p.par(indent, b.Say("holds.nocold"))
	}
}

func limit(b *words.Book, v *float64) string {
	if v == nil {
		return b.Say("holds.nolimit")
	}
	return words.Number(*v)
}

// printCurve prints the curve at whole seconds, once a second to 20, then
// every ten.
func printCurve(p *page, b *words.Book, g *groupJSON) {
	if len(g.Curve) == 0 {
		return
	}
	p.line("")
	p.par(0, b.Say("holds.curve"))
	p.line("  " + b.Say("holds.curve.head"))
	longest := g.Curve[len(g.Curve)-1].Seconds
	at := 0
	for t := 1.0; t <= longest; t = nextSecond(t) {
		for at+1 < len(g.Curve) && g.Curve[at+1].Seconds <= t {
			at++
		}
		pt := g.Curve[at]
		left := pt.AtRisk - pt.Falls - pt.Censored
		if pt.Seconds > t { // before the first end
			one := 1.0
			left, pt.Survival, pt.Lo, pt.Hi = pt.AtRisk, 1, &one, &one
		}
		interval := ""
		if pt.Lo != nil && pt.Hi != nil {
			interval = b.Range(*pt.Lo, *pt.Hi)
		}
		p.line(fmt.Sprintf("  %7g  %8d  %5s  %s", t, left, words.Percent(pt.Survival), interval))
	}
}

func nextSecond(t float64) float64 {
	if t < 20 {
		return t + 1
	}
	return math.Floor(t/10)*10 + 10
}

func printCompare(p *page, b *words.Book, c *compareJSON) {
	if c == nil {
		p.par(0, b.Say("holds.compare.none"))
		return
	}
	p.par(0, b.Say("holds.compare", "chisq", fmt.Sprintf("%.2f", c.ChiSq), "df", c.DF, "p", pValue(c.P)))
	for _, g := range c.Groups {
		p.par(2, b.Say("holds.compare.row", "name", g.Group, "n", g.N, "observed", g.Observed, "expected", g.Expected))
	}
	p.par(0, b.Say("holds.compare.note"))
}

func pValue(p float64) string {
	if p < 0.001 {
		return "under 0.001"
	}
	return fmt.Sprintf("%.3f", p)
}
