package planning

import (
	"math"
	"slices"

	"aplomb/internal/assess"
	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// Values of a component's need and of a set are on these scales.
const (
	needFloor   = 0.10 // every component is worth a little work
	needLimits  = 0.50 // what limits for sure adds this much
	needUntold  = 0.50 // of that, for a component nobody has tested yet
	needGap     = 0.30 // being gapFull logits short of what is asked adds this much
	needStale   = 0.10 // not being trained for staleDays adds this much
	gapFull     = 2.0
	staleDays   = 28
	helpedRaise = 1.10 // a drill marked as helping is worth this much more
)

// needs is how much each component wants work, in the library's order.
func (in *Input) needs() []week.Component {
	out := make([]week.Component, len(in.Library.Components))
	for i, info := range in.Library.Components {
		out[i] = week.Component{Name: string(info.Name), Need: in.need(in.Standing.Components[i]), Tau: info.Tau}
	}
	return out
}

// need is how much a component wants work where it stands: by the chance that it
// limits, by how far it is expected to be short of what the next milestone asks,
// and by how long it was left alone.
func (in *Input) need(level assess.ComponentLevel) float64 {
	limits := needLimits * level.PLimits
	if level.N == 0 {
		limits *= needUntold
	}
	need := needFloor + limits
	if level.Asked != nil {
		need += needGap * min(1, shortfall(*level.Asked-level.Level, level.SD)/gapFull)
	}
	days := float64(staleDays)
	if last, ok := in.Standing.LastTrained[level.Name]; ok {
		days = min(days, float64(in.Standing.AsOf-last))
	}
	return need + needStale*days/staleDays
}

// shortfall is E[max(0, X)] for X normal with this mean and sd: how much is
// expected to be missing, with what is not known averaged over.
func shortfall(mean, sd float64) float64 {
	if sd == 0 {
		return max(0, mean)
	}
	z := mean / sd
	density := math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
	return mean*0.5*math.Erfc(-z/math.Sqrt2) + sd*density
}

// value is what a set is worth, 1 to 100: a hump in the logit of success with
// its peak at two in three, averaged over the doubt of that logit. The inverted
// U is Guadagnoli & Lee (2004) J Mot Behav 36:212; they give no number, and
// peak and width are guesses to edit.
func (in *Input) value(i int) int {
	set, ds := in.Settings, in.Standing.Drills[i]
	width := set.PeakWidth
	if in.Library.Drills[i].Kind == practice.Strength {
		width = set.StrengthWide
	}
	spread := width*width + ds.SD*ds.SD
	gap := ds.Logit - set.PeakLogit
	v := 100 * width / math.Sqrt(spread) * math.Exp(-gap*gap/(2*spread))
	if ds.Helped > 0 && ds.Confusing == 0 {
		v *= helpedRaise
	}
	return int(min(100, max(1, math.Round(v))))
}

func (in *Input) kind(i int) week.Kind {
	switch {
	case in.Library.Drills[i].Kind == practice.Strength:
		return week.Strength
	case in.Standing.Drills[i].P >= in.Settings.EasyFrom:
		return week.Easy
	}
	return week.Challenge
}

func halves(minutes float64) week.HalfMinutes { return week.HalfMinutes(math.Floor(2*minutes + 1e-9)) }

// problem is the exact program of the week. offers are the drills that may be
// chosen, frames the sessions; hand is what is left of the week's minutes on
// the hands once the tries are taken off.
func (in *Input) problem(offers []Offer, frames []frame, hand float64) week.Problem {
	set := in.Settings
	p := week.Problem{Name: in.Student.ID + " " + in.Week.String(), Components: in.needs(),
		Long: []week.Session{}, Short: []week.Session{}, Locks: []week.Lock{}, Bans: []string{},
		HandWeek: halves(hand), MaxDrills: set.MaxDrills, MaxDrillsLong: set.MaxLong,
		DrillCost: set.DrillCost, ContinuityBonus: set.Continuity, MixPenalty: set.MixPenalty, Massing: set.Massing}
	for _, f := range frames {
		s := week.Session{Day: int(f.slot.Day), Minutes: halves(f.practice), Hand: halves(min(f.practice, hand))}
		switch {
		case f.long:
			p.Long = append(p.Long, s)
		case f.practice > 0:
			p.Short = append(p.Short, s)
		}
	}
	last := in.lastWeek()
	for _, o := range offers {
		if d := &in.Library.Drills[o.Index]; d.Kind != practice.Mobility && !practice.FreeTry(d.ID) {
			p.Drills = append(p.Drills, in.candidate(o, d, last[d.ID]))
		}
	}
	return p
}

func (in *Input) candidate(o Offer, d *practice.Drill, last bool) week.Drill {
	c := week.Drill{ID: d.ID, Component: string(d.Component), Kind: in.kind(o.Index),
		Set: halves(d.SetMinutes), Setup: halves(d.SetupMinutes), Hand: halves(d.HandMinutes),
		Value: in.value(o.Index), MinSets: d.MinSets, MaxSets: d.MaxSets, WeekSets: d.WeekSets, LastWeek: last}
	if slices.Contains(in.Shared, d.ID) {
		c.Bonus = sharedBonus
	}
	if c.Kind == week.Challenge && o.P < in.Settings.NearMax {
		c.MaxSets = max(c.MinSets, min(c.MaxSets, in.Settings.NearMaxReps/max(1, d.Reps)))
	}
	return c
}

// locks adds the coach's wishes to a problem; a drill that was refused cannot
// be locked, and is returned.
func (in *Input) locks(p *week.Problem) (refused []string) {
	offered := map[string]*week.Drill{}
	for i := range p.Drills {
		offered[p.Drills[i].ID] = &p.Drills[i]
	}
	locked := map[string]int{}
	for _, w := range in.wishes() {
		for _, l := range w.Locks {
			d := offered[l.Drill]
			if d == nil {
				refused = append(refused, l.Drill)
				continue
			}
			sets := l.Sets
			if sets != 0 {
				sets = min(max(sets, d.MinSets), d.MaxSets)
			}
			if at, twice := locked[l.Drill]; twice {
				p.Locks[at].Sets = sets // the student's own wish comes after the group's
				continue
			}
			locked[l.Drill] = len(p.Locks)
			p.Locks = append(p.Locks, week.Lock{Drill: l.Drill, Sets: sets})
		}
	}
	return refused
}
