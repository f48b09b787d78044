package rehearse

import (
	"maps"
	"math"
	"slices"

	"aplomb/internal/holds"
)

// Report is what a study came to, policy by policy.
type Report struct {
	Students int            `json:"students"`
	Weeks    int            `json:"weeks"`
	Seed     uint64         `json:"seed"`
	Policies []PolicyReport `json:"policies"`
}

// PolicyReport is one policy's figures.
type PolicyReport struct {
	Policy       string  `json:"policy"`
	MinutesAWeek int     `json:"minutes_a_week"`
	Practised    float64 `json:"minutes_practised_a_week"` // what was not missed
	Tests        float64 `json:"floor_tests"`              // a student and course, in the mean

	// Weeks to the goal; null: not within the course.
	Lower  *int    `json:"weeks_lower_quartile"`
	Median *int    `json:"weeks_median"`
	Upper  *int    `json:"weeks_upper_quartile"`
	Within Share   `json:"within_the_course"`
	Curve  []Share `json:"curve"` // reached by the end of each week

	// Against is the first policy's mean weeks less this one's, course cut off
	// at its end: below 0, the first is sooner. null: this is the first.
	Against *Difference `json:"first_policy_less_this"`

	Months   []Month    `json:"months"`
	Proven   ProofShare `json:"proven"`
	Limiter  LimiterSum `json:"limiter"`
	AtTheEnd float64    `json:"mean_chance_at_the_end"`
}

// Share is a proportion with its interval.
type Share struct {
	P     float64 `json:"p"`
	Lo    float64 `json:"lo"`
	Hi    float64 `json:"hi"`
	Level float64 `json:"level"`
	N     int     `json:"n"`
}

// Difference is a mean of paired differences with its interval.
type Difference struct {
	Mean  float64 `json:"mean"`
	Lo    float64 `json:"lo"`
	Hi    float64 `json:"hi"`
	Level float64 `json:"level"`
	N     int     `json:"n"`
}

// Month is the coverage of the 80% intervals at the end of a month.
type Month struct {
	Month      int     `json:"month"`
	Chance     Share   `json:"chance"`
	Components Share   `json:"components"`
	Forecast   Share   `json:"forecast"`
	Bias       float64 `json:"bias"`      // mean of estimate less truth
	Miss       float64 `json:"mean_miss"` // mean of its size
}

// ProofShare is how often "proven" was said on a day whose true chance was
// under Floor.
type ProofShare struct {
	Floor  float64 `json:"floor"`
	Proofs int     `json:"proofs"`
	Under  Share   `json:"under"`
}

// ProofFloor is the true chance under which a proof was said too early.
const ProofFloor = 0.70

// LimiterSum is how often the limiter named after floor tests was the true one.
type LimiterSum struct {
	First  Share `json:"first"`
	TopTwo Share `json:"top_two"`
	Known  Share `json:"called_known"`
	Right  Share `json:"right_where_known"`
	// Next is the same by the milestone that is next, where any look had it.
	Next []LimiterNext `json:"by_next_milestone"`
}

// LimiterNext is how often the limiter named before a milestone was the true one.
type LimiterNext struct {
	Seconds float64 `json:"seconds"`
	First   Share   `json:"first"`
	TopTwo  Share   `json:"top_two"`
}

// Summarise reads a study's records.
func (s Study) Summarise(outcomes []Outcome) Report {
	r := Report{Students: s.Students, Weeks: s.Weeks, Seed: s.Seed}
	for i, o := range outcomes {
		p := PolicyReport{Policy: o.Policy.Name, MinutesAWeek: o.Policy.MinutesAWeek()}
		p.speed(o.Records, s.Weeks)
		p.honesty(o.Records, s.Weeks)
		if i > 0 {
			d := paired(outcomes[0].Records, o.Records, s.Weeks)
			p.Against = &d
		}
		r.Policies = append(r.Policies, p)
	}
	return r
}

func (p *PolicyReport) speed(records []Record, weeks int) {
	reached := make([]int, len(records))
	minutes := 0.0
	for i, r := range records {
		if reached[i] = r.Reached; reached[i] == 0 {
			reached[i] = never
		}
		minutes += r.Minutes
		p.Tests += float64(r.Tests) / float64(len(records))
		p.AtTheEnd += r.Chance[len(r.Chance)-1] / float64(len(records))
	}
	p.Practised = minutes / float64(len(records)*weeks)
	slices.Sort(reached)
	p.Lower, p.Median, p.Upper = quantile(reached, .25), quantile(reached, .5), quantile(reached, .75)
	for w := 1; w <= weeks; w++ {
		n, _ := slices.BinarySearch(reached, w+1)
		p.Curve = append(p.Curve, wilson(n, len(reached), .95))
	}
	p.Within = p.Curve[len(p.Curve)-1]
}

// middle is the median of weeks, nil where that is never.
func middle(weeks []int) *int {
	if len(weeks) == 0 {
		return nil
	}
	slices.Sort(weeks)
	return quantile(weeks, .5)
}

// quantile of sorted weeks: the least that a share q of them do not exceed; nil
// where that is never.
func quantile(sorted []int, q float64) *int {
	v := sorted[int(math.Ceil(q*float64(len(sorted))))-1]
	if v == never {
		return nil
	}
	return &v
}

func (p *PolicyReport) honesty(records []Record, weeks int) {
	for m := 1; m <= weeks/weeksAMonth; m++ {
		p.Months = append(p.Months, month(records, m))
	}
	under, proofs := 0, 0
	var looks []LimiterLook
	for _, r := range records {
		for _, proof := range r.Proofs {
			proofs++
			if proof.Chance < ProofFloor {
				under++
			}
		}
		looks = append(looks, r.Limiters...)
	}
	p.Proven = ProofShare{Floor: ProofFloor, Proofs: proofs, Under: wilson(under, proofs, .95)}
	p.Limiter = limiterSum(looks)
}

func limiterSum(looks []LimiterLook) (out LimiterSum) {
	var first, two, known, right [2]int
	next := map[float64]*[2][2]int{}
	for _, l := range looks {
		count(&first, l.First)
		count(&two, l.TopTwo)
		count(&known, l.Known)
		if l.Known {
			count(&right, l.First)
		}
		if next[l.Seconds] == nil {
			next[l.Seconds] = &[2][2]int{}
		}
		count(&next[l.Seconds][0], l.First)
		count(&next[l.Seconds][1], l.TopTwo)
	}
	out = LimiterSum{First: shareOf(first), TopTwo: shareOf(two), Known: shareOf(known), Right: shareOf(right)}
	for _, seconds := range slices.Sorted(maps.Keys(next)) {
		out.Next = append(out.Next, LimiterNext{seconds, shareOf(next[seconds][0]), shareOf(next[seconds][1])})
	}
	return out
}

func count(c *[2]int, yes bool) {
	c[1]++
	if yes {
		c[0]++
	}
}

func shareOf(c [2]int) Share { return wilson(c[0], c[1], .95) }

// monteCarlo is the level of the interval that says how far a coverage may be
// off by the chance of the simulation alone.
const monteCarlo = .99

func month(records []Record, m int) Month {
	out := Month{Month: m}
	var chance, forecast, components []Covered
	n := 0
	for _, r := range records {
		l := r.Looks[m-1]
		chance = append(chance, l.Chance)
		components = append(components, l.Components)
		forecast = append(forecast, l.Forecast)
		if !math.IsNaN(l.Error) {
			out.Bias += l.Error
			out.Miss += math.Abs(l.Error)
			n++
		}
	}
	if n > 0 {
		out.Bias /= float64(n)
		out.Miss /= float64(n)
	}
	out.Chance, out.Components, out.Forecast = clustered(chance), clustered(components), clustered(forecast)
	return out
}

// clustered is the share held of all that was claimed, with an interval that
// takes each student's claims together: the ratio estimator's linearised
// variance (Cochran 1977, Sampling Techniques, 3rd ed., eq. 2.39), or Wilson's
// interval where each student made one claim at most, or all or none was held.
func clustered(by []Covered) Share {
	held, of, most := 0, 0, 0
	for _, c := range by {
		held, of, most = held+c.Held, of+c.Of, max(most, c.Of)
	}
	if most <= 1 || held == of || held == 0 {
		return wilson(held, of, monteCarlo)
	}
	p, ss, n := float64(held)/float64(of), 0.0, float64(len(by))
	for _, c := range by {
		d := float64(c.Held) - p*float64(c.Of)
		ss += d * d
	}
	se := math.Sqrt(ss*n/math.Max(1, n-1)) / float64(of)
	z := normalQuantile((1 + monteCarlo) / 2)
	return Share{P: p, Lo: math.Max(0, p-z*se), Hi: math.Min(1, p+z*se), Level: monteCarlo, N: of}
}

// wilson is Wilson's interval of k in n; the whole of 0 to 1 where n is 0.
func wilson(k, n int, level float64) Share {
	s, err := holds.Rate(k, n, holds.Wilson, level)
	if err != nil { // no tries
		return Share{Hi: 1, Level: level}
	}
	return Share{P: s.P, Lo: s.Lo, Hi: s.Hi, Level: level, N: n}
}

func normalQuantile(p float64) float64 { return math.Sqrt2 * math.Erfinv(2*p-1) }

// paired is the mean over students of the weeks under a less those under b,
// where a course that did not reach the goal counts as its length and one week.
func paired(a, b []Record, weeks int) Difference {
	cut := func(r Record) float64 {
		if r.Reached == 0 {
			return float64(weeks + 1)
		}
		return float64(r.Reached)
	}
	n, sum, squares := float64(len(a)), 0.0, 0.0
	for i := range a {
		d := cut(a[i]) - cut(b[i])
		sum += d
		squares += d * d
	}
	mean := sum / n
	se := math.Sqrt(math.Max(0, squares/n-mean*mean) / math.Max(1, n-1))
	z := normalQuantile(.975)
	return Difference{Mean: mean, Lo: mean - z*se, Hi: mean + z*se, Level: .95, N: len(a)}
}
