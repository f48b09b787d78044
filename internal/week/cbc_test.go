package week

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// TestGeneralSolver compares with CBC (Forrest et al., COIN-OR Branch and Cut,
// Debian's coinor-cbc) on the card program: every card a 0-1 variable, the
// short sessions placed by 0-1 variables. Cards, their gains and their use of
// the rows come from Evaluate and the page, not from the solver.
func TestGeneralSolver(t *testing.T) {
	if os.Getenv("WEEK_CBC") == "" {
		t.Skip("set WEEK_CBC=1, with cbc installed, to compare with a general solver (minutes)")
	}
	cbc, err := exec.LookPath("cbc")
	if err != nil {
		t.Fatal("WEEK_CBC is set but cbc is not installed: apt-get install coinor-cbc")
	}
	for seed := range uint64(25) {
		p := generate(seed, typical)
		r := solved(t, p)
		want, feasible := runCBC(t, cbc, p)
		if feasible != r.Feasible || feasible && want != r.Objective {
			t.Errorf("seed %d: %d (%v), CBC %d (%v)", seed, r.Objective, r.Feasible, want, feasible)
		}
		t.Logf("seed %d: %d, CBC %d", seed, r.Objective, want)
	}
}

func runCBC(t *testing.T, cbc string, p Problem) (objective int, feasible bool) {
	t.Helper()
	file, answer := filepath.Join(t.TempDir(), "card.lp"), filepath.Join(t.TempDir(), "answer")
	writeProgram(t, file, p)
	out, err := exec.Command(cbc, file, "ratioGap", "0", "allowableGap", "0", "solve", "solution", answer).CombinedOutput()
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	raw, err := os.ReadFile(answer)
	if err != nil {
		t.Fatal(err)
	}
	first, _, _ := strings.Cut(string(raw), "\n")
	if strings.HasPrefix(first, "Infeasible") || strings.HasPrefix(first, "Integer infeasible") {
		return 0, false
	}
	fields := strings.Fields(first)
	v, err := strconv.ParseFloat(fields[len(fields)-1], 64)
	if err != nil || !strings.HasPrefix(first, "Optimal") {
		t.Fatalf("CBC says %q", first)
	}
	return int(math.Round(math.Abs(v))), true // the file maximises; CBC prints the sign of its own
}

// program collects the terms of each row of the file.
type program struct {
	p        Problem
	goal     []string
	rows     map[string][]string
	binaries []string
}

func (g *program) term(row string, coef int, variable string) {
	if coef != 0 {
		g.rows[row] = append(g.rows[row], fmt.Sprintf("%+d %s", coef, variable))
	}
}

func writeProgram(t *testing.T, file string, p Problem) {
	t.Helper()
	g := &program{p: p, rows: map[string][]string{}}
	for c := range p.Components {
		g.cards(c)
	}
	for d := range p.Drills {
		for s := range p.Short {
			g.placement(d, s)
		}
	}
	f, err := os.Create(file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	w := bufio.NewWriter(f)
	g.write(w)
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
}

// cards adds every list of at most two drills of a component that keeps the
// bans and locks.
func (g *program) cards(c int) {
	var single []Choice
	locked := map[string]Lock{}
	for _, l := range g.p.Locks {
		locked[l.Drill] = l
	}
	must := 0
	for _, d := range g.p.Drills {
		if d.Component != g.p.Components[c].Name || slices.Contains(g.p.Bans, d.ID) {
			continue
		}
		l, in := locked[d.ID]
		if in {
			must++
		}
		for k := d.MinSets; k <= d.MaxSets; k++ {
			for y := 0; y <= len(g.p.Short) && (y == 0 || d.Kind != Strength); y++ {
				if !in || l.Sets == 0 || l.Sets == k {
					single = append(single, Choice{d.ID, k, y})
				}
			}
		}
	}
	add := func(list ...Choice) {
		held := 0
		for _, x := range list {
			if _, in := locked[x.ID]; in {
				held++
			}
		}
		if held == must {
			g.card(c, len(g.binaries), list)
		}
	}
	add()
	for i, a := range single {
		add(a)
		for _, b := range single[:i] {
			if a.ID != b.ID {
				add(b, a)
			}
		}
	}
}

// card adds one variable. Weeks of the card alone that break a rule which more
// drills cannot mend are left out.
func (g *program) card(c, n int, list []Choice) {
	q := g.p
	q.MixPenalty = 0
	gain, _ := Evaluate(q, Plan{Drills: list})
	name := fmt.Sprintf("x%d", n)
	use := map[string]int{fmt.Sprintf("one%d", c): 1, "drills": len(list)}
	longest := 0
	for _, s := range g.p.Long {
		longest = max(longest, int(s.Minutes))
	}
	for _, x := range list {
		d := drillOf(g.p, x.ID)
		inLong := 0
		for l, s := range g.p.Long {
			sets := max(d.MinSets, int(math.Floor(float64(x.Sets*int(s.Minutes))/float64(longest)+.5)))
			inLong += sets
			use[fmt.Sprintf("time%d", l)] += sets*int(d.Set) + int(d.Setup)
			use[fmt.Sprintf("hand%d", l)] += sets * int(d.Hand)
		}
		n := inLong + x.Shorts*d.MinSets
		if n < d.WeekSets {
			return
		}
		use["handweek"] += n * int(d.Hand)
		use[string(d.Kind)] += inLong * int(d.Set)
		use["place"+x.ID] -= x.Shorts
	}
	g.binaries = append(g.binaries, name)
	g.goal = append(g.goal, fmt.Sprintf("%+d %s", gain, name))
	easy, challenge := use["easy"], use["challenge"]
	delete(use, "easy")
	delete(use, "challenge")
	for row, u := range use {
		g.term(row, u, name)
	}
	g.term("mixc", 3*challenge-7*easy, name)
	g.term("mixe", 3*easy-7*challenge, name)
	g.term("pricec", 4*challenge-6*easy, name)
	g.term("pricee", 4*easy-6*challenge, name)
}

func (g *program) placement(d, s int) {
	drill := g.p.Drills[d]
	name := fmt.Sprintf("z%d_%d", d, s)
	g.binaries = append(g.binaries, name)
	g.term("place"+drill.ID, 1, name)
	g.term(fmt.Sprintf("shorttwo%d", s), 1, name)
	g.term(fmt.Sprintf("shorttime%d", s), drill.MinSets*int(drill.Set)+int(drill.Setup), name)
	g.term(fmt.Sprintf("shorthand%d", s), drill.MinSets*int(drill.Hand), name)
}

func (g *program) write(w *bufio.Writer) {
	p := g.p
	fmt.Fprintf(w, "Maximize\n obj: %s %+d pc %+d pe\nSubject To\n", wrap(g.goal), -p.MixPenalty, -p.MixPenalty)
	g.term("pricec", -1, "pc")
	g.term("pricee", -1, "pe")
	row := func(name, sign string, rhs int) {
		if terms := g.rows[name]; len(terms) > 0 {
			fmt.Fprintf(w, " %s: %s %s %d\n", name, wrap(terms), sign, rhs)
		}
	}
	for c := range p.Components {
		row(fmt.Sprintf("one%d", c), "=", 1)
	}
	all := 0
	for l, s := range p.Long {
		row(fmt.Sprintf("time%d", l), "<=", int(s.Minutes))
		row(fmt.Sprintf("hand%d", l), "<=", int(s.Hand))
		all += int(s.Minutes)
	}
	row("handweek", "<=", int(p.HandWeek))
	row("drills", "<=", min(p.MaxDrills, p.MaxDrillsLong))
	row("strength", "<=", all/4)
	for _, name := range []string{"mixc", "mixe", "pricec", "pricee"} {
		row(name, "<=", 0)
	}
	for _, d := range p.Drills {
		row("place"+d.ID, "=", 0)
	}
	for i, s := range p.Short {
		row(fmt.Sprintf("shorttwo%d", i), "<=", 2)
		row(fmt.Sprintf("shorttime%d", i), "<=", int(s.Minutes))
		row(fmt.Sprintf("shorthand%d", i), "<=", int(s.Hand))
	}
	fmt.Fprintf(w, "Binaries\n %s\nEnd\n", wrap(g.binaries))
}

// wrap joins terms in lines short enough for the file format.
func wrap(terms []string) string {
	var b strings.Builder
	for i, t := range terms {
		b.WriteString(t)
		b.WriteByte(" \n"[min(1, (i%8)/7)])
	}
	return b.String()
}
