package practice

import "math"

// Library is everything the planner may choose from and what it is measured
// by: components, drills, floor tests, and what milestones ask.
type Library struct {
	Version    string
	Components []ComponentInfo
	Drills     []Drill
	Probes     []Probe
	Milestones []MilestoneAsk
}

// ComponentInfo describes one component.
type ComponentInfo struct {
	Name Component `json:"name"`
	What string    `json:"what"`
	// Capacity components change slowly and with rest; the others are skills.
	Capacity bool `json:"capacity,omitempty"`
	// Beyond components join only once 15 s is proven: no milestone in seconds
	// asks for them.
	Beyond bool `json:"beyond,omitempty"`
	// Tau is how many set-equivalents at full value take 63% of what a week
	// of one component can give.
	Tau float64 `json:"tau"`
	// PriorLogit is the ability a new student is taken to have, in logits,
	// before anything was seen.
	PriorLogit float64 `json:"prior_logit"`
	// TryWork is the share of a free try's work that is work on this component:
	// a catch is the work of several. The shares of a library add up to 1; where
	// none has one, free tries are taken to train nothing in particular.
	TryWork float64 `json:"try_work,omitempty"`
	Order   int     `json:"order"` // stage of a session: lower is earlier, equals are one stage
	// Site is the part of the body it is about, in the words of pain sites:
	// where that is to rest, so is the component. Empty: none.
	Site   string `json:"site,omitempty"`
	Source string `json:"source"`
}

// Link is how a floor test's value becomes a number in logits.
type Link string

// Links of a floor test.
const (
	Linear Link = "linear" // (value - mid) / scale, with the test's own sd
	OfN    Link = "of-n"   // value passes out of N tries at the test's difficulty
)

// Links is the vocabulary of links.
var Links = []Link{Linear, OfN}

// Probe is one floor test.
type Probe struct {
	ID        string    `json:"id"`
	Name      string    `json:"-"` // texts come from the book of a language
	Component Component `json:"component"`
	Setup     string    `json:"-"`
	Counts    string    `json:"-"` // what counts
	Unit      string    `json:"unit"`
	Min       float64   `json:"min"`
	Max       float64   `json:"max"`
	Minutes   float64   `json:"minutes"`
	// Day and Order are its place when all are taken over two days: what tires
	// comes after what tiring would spoil.
	Day   int  `json:"day"`
	Order int  `json:"order"`
	Short bool `json:"short,omitempty"` // part of the short form in between
	Link  Link `json:"link"`
	N     int  `json:"n,omitempty"` // for of-n
	// Mid is the value at 0 logits and Scale the units a logit (negative where
	// less is better) for linear; Mid is the difficulty in logits for of-n.
	Mid     float64  `json:"mid"`
	Scale   float64  `json:"scale,omitempty"`
	SD      float64  `json:"sd,omitempty"` // logits, of one result
	Kit     []Kit    `json:"kit,omitempty"`
	Strains []Strain `json:"strains,omitempty"`
	Norm    string   `json:"-"`
	Source  string   `json:"source"`
}

// Ability is the ability in logits at which this value is what one expects; a
// count of passes is pulled half a try towards the middle, so none and all
// stay finite.
func (p Probe) Ability(value float64) float64 {
	if p.Link == OfN {
		n := float64(p.N)
		return p.Mid + math.Log((value+0.5)/(n-value+0.5))
	}
	return (value - p.Mid) / p.Scale
}

// Ends are the worst and the best value the test can show: a result there says
// only that the ability lies beyond.
func (p Probe) Ends() (worst, best float64) {
	if p.Scale < 0 {
		return p.Max, p.Min
	}
	return p.Min, p.Max
}

// Doubt is the sd of one result in the unit of the test: for a count of passes
// that of a student who passes half.
func (p Probe) Doubt() float64 {
	if p.Link == OfN {
		return math.Sqrt(float64(p.N)) / 2
	}
	return p.SD * math.Abs(p.Scale)
}

// MilestoneAsk is what one milestone asks of the components: for each a value
// of a floor test of that component.
type MilestoneAsk struct {
	Seconds float64 `json:"seconds"`
	Asks    []Ask   `json:"asks"`
	Source  string  `json:"source"`
}

// Ask is the value a floor test should show.
type Ask struct {
	Test  string  `json:"test"`
	Value float64 `json:"value"`
}

// Drill finds a drill by id.
func (l *Library) Drill(id string) (Drill, bool) {
	for i := range l.Drills {
		if l.Drills[i].ID == id {
			return l.Drills[i], true
		}
	}
	return Drill{}, false
}

// Probe finds a floor test by id.
func (l *Library) Probe(id string) (Probe, bool) {
	for i := range l.Probes {
		if l.Probes[i].ID == id {
			return l.Probes[i], true
		}
	}
	return Probe{}, false
}

// FearTest is the floor test that asks how afraid the student is of tipping
// over, 0 to 10: intake asks it as well.
const FearTest = "confidence-fear"
