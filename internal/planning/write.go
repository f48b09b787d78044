package planning

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// stretch is a mobility drill offered, with the need of its component.
type stretch struct {
	drill *practice.Drill
	need  float64
}

// stretches are the mobility drills a student may do, the neediest component
// first, the better known first within it.
func (in *Input) stretches(offers []Offer) []stretch {
	need := map[practice.Component]float64{}
	for _, c := range in.needs() {
		need[practice.Component(c.Name)] = c.Need
	}
	var out []stretch
	for _, o := range offers {
		if d := &in.Library.Drills[o.Index]; d.Kind == practice.Mobility {
			out = append(out, stretch{d, need[d.Component]})
		}
	}
	slices.SortStableFunc(out, func(a, b stretch) int { return cmp.Compare(b.need, a.need) })
	return out
}

// triesHand is the minutes on the hands the free tries take over the week.
func (in *Input) triesHand(frames []frame) (sum float64) {
	for _, f := range frames {
		if f.fixed.Cold > 0 {
			sum += in.tries(practice.ColdTry, f.fixed.Cold).HandMinutes
		}
		if f.fixed.Tries > 0 {
			sum += in.tries(practice.OpenTry, f.fixed.Tries).HandMinutes
		}
	}
	return sum
}

// write lays the week out, session by session.
func (in *Input) write(d *Draft, frames []frame, offers []Offer, stretches []stretch) {
	muddy := map[string]bool{}
	for _, o := range offers {
		muddy[in.Library.Drills[o.Index].ID] = o.Muddy
	}
	doses := map[practice.Weekday][]week.Dose{}
	for _, s := range d.Result.Sessions {
		doses[practice.Weekday(s.Day)] = s.Drills
	}
	turn := 0
	for _, f := range frames {
		s := practice.PlannedSession{Day: f.slot.Day, Start: f.slot.Start, RidesOn: f.slot.RidesOn, Minutes: f.total}
		add := func(kind practice.BlockKind, minutes float64, items ...practice.Item) {
			worked := kind == practice.PrepBlock || kind == practice.LogBlock || len(items) > 0
			if minutes > 0 && worked {
				s.Blocks = append(s.Blocks, practice.Block{Kind: kind, Minutes: minutes, Items: numbered(items, f.slot.Day, kind)})
			}
		}
		skills, strength := in.split(doses[f.slot.Day], muddy)
		add(practice.PrepBlock, f.fixed.Prep)
		add(practice.ColdBlock, f.fixed.Cold, in.tries(practice.ColdTry, f.fixed.Cold))
		add(practice.TriesBlock, f.fixed.Tries, in.tries(practice.OpenTry, f.fixed.Tries))
		add(practice.PracticeBlock, minutesOf(skills), skills...)
		add(practice.StrengthBlock, minutesOf(strength), strength...)
		add(practice.StretchBlock, f.fixed.Stretch, stretchItems(stretches, f.fixed.Stretch, &turn)...)
		add(practice.LogBlock, f.fixed.Log)
		if !slices.ContainsFunc(s.Blocks, func(b practice.Block) bool { return b.Kind != practice.LogBlock }) {
			continue // too short for anything but the log
		}
		d.Week.Sessions = append(d.Week.Sessions, s)
		if left := f.practice - minutesOf(skills) - minutesOf(strength); f.long && left >= spareFrom {
			d.Spare = append(d.Spare, Spare{Day: f.slot.Day, Minutes: left})
		}
	}
	in.cue(&d.Week)
	if len(frames) > 0 && len(frames) < 7 {
		d.Week.DaysOff = stretchItems(stretches, daysOffMinutes, &turn)
	}
}

// spareFrom is how many minutes nothing fills are worth a word.
const spareFrom = 3

// daysOffMinutes is how long the stretching of a day without a session takes.
const daysOffMinutes = 4

func numbered(items []practice.Item, day practice.Weekday, kind practice.BlockKind) []practice.Item {
	if items == nil {
		return []practice.Item{}
	}
	for i := range items {
		items[i].ID = fmt.Sprintf("%s-%s-%d", day, kind, i+1)
	}
	return items
}

func minutesOf(items []practice.Item) (sum float64) {
	for _, it := range items {
		sum += it.Minutes
	}
	return sum
}

// split writes a session's doses, which come in the order of practice, with
// strength apart: it is last.
func (in *Input) split(doses []week.Dose, muddy map[string]bool) (skills, strength []practice.Item) {
	for _, dose := range doses {
		d, ok := in.Library.Drill(dose.ID)
		if !ok {
			panic("planning: no drill " + dose.ID)
		}
		it := item(&d, dose.Sets)
		it.Seconds = in.holdFor(&d)
		if muddy[d.ID] && len(d.Cues) > 1 {
			it.Cue = d.Cues[1].Text
		}
		if d.Kind == practice.Strength {
			strength = append(strength, it)
		} else {
			skills = append(skills, it)
		}
	}
	return skills, strength
}

// wallShare is the share of a student's own longest hold that a set at the wall
// is held for, and shortHold the least that is worth it in seconds: common
// practice, no source.
const (
	wallShare = 0.6
	shortHold = 5
)

// holdFor is the seconds of one rep: the drill's own, at the wall no more than
// a share of the student's longest.
func (in *Input) holdFor(d *practice.Drill) float64 {
	atWall := d.Support == practice.WallBack || d.Support == practice.WallChest
	if longest := in.Standing.WallHoldS; d.Measure == practice.HoldFor && atWall && longest > 0 {
		return min(d.Seconds, max(shortHold, math.Round(wallShare*longest)))
	}
	return d.Seconds
}

// heavyHand is how many minutes on the hands make a drill hard work in a short
// session: common practice, no source.
const heavyHand = 4

// habits are the library's customs of a week: what is practised when, and what
// is kept two days apart.
func habits(lib *practice.Library) *week.Habits {
	h := &week.Habits{HeavyHand: week.Minutes(heavyHand)}
	stages := map[int][]string{}
	for _, info := range lib.Components {
		stages[info.Order] = append(stages[info.Order], string(info.Name))
		if info.Capacity {
			h.Spaced = append(h.Spaced, string(info.Name))
		}
	}
	for _, order := range slices.Sorted(maps.Keys(stages)) {
		h.Stages = append(h.Stages, stages[order])
	}
	return h
}

func item(d *practice.Drill, sets int) practice.Item {
	it := practice.Item{Drill: d.ID, Name: d.Name, Sets: sets, Reps: d.Reps, Seconds: d.Seconds, RestSeconds: d.RestSeconds,
		Minutes: float64(sets)*d.SetMinutes + d.SetupMinutes, HandMinutes: float64(sets) * d.HandMinutes}
	if len(d.Cues) > 0 {
		it.Cue = d.Cues[0].Text
	}
	return it
}

// tries writes so many minutes of free tries: as many as fit with their rest,
// one at the least.
func (in *Input) tries(id string, minutes float64) practice.Item {
	d, ok := in.Library.Drill(id)
	if !ok {
		return practice.Item{}
	}
	each := d.SetMinutes / float64(max(1, d.Reps))
	n := max(1, int(minutes/each+1e-9))
	it := item(&d, 1)
	it.Reps = n
	it.Minutes = minutes
	it.HandMinutes = float64(n) * d.Seconds / 60
	if d.Seconds == 0 { // a studio's own try that does not say
		it.HandMinutes = minutes * d.HandMinutes / d.SetMinutes
	}
	return it
}

// stretchItems fills so many minutes with stretches, going round the list from
// session to session.
func stretchItems(stretches []stretch, minutes float64, turn *int) (items []practice.Item) {
	left := minutes
	for range stretches {
		d := stretches[*turn%len(stretches)].drill
		if d.SetMinutes > left {
			break
		}
		sets := max(1, min(d.MaxSets, int(left/d.SetMinutes)/2))
		it := item(d, sets)
		it.Minutes = float64(sets) * d.SetMinutes
		items = append(items, it)
		left -= it.Minutes
		*turn++
	}
	return items
}
