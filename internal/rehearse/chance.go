package rehearse

import (
	"aplomb/internal/planning"
	"aplomb/internal/practice"
)

// drawnShare of the randomised policy's drills is picked by chance.
const drawnShare = 0.1

// randomise puts another drill that may be done in the place of one drill in
// ten, and writes down among what and how likely it was.
func (c *course) randomise(w *practice.Week) {
	in := planning.For(c.student, c.last, c.world.lib, nil, &c.log)
	offers, _ := in.Offers()
	for _, s := range w.Sessions {
		for _, b := range s.Blocks {
			if b.Kind != practice.PracticeBlock && b.Kind != practice.StrengthBlock {
				continue
			}
			for k := range b.Items {
				if c.rng.Float64() < drawnShare {
					c.another(&b.Items[k], offers)
				}
			}
		}
	}
}

// another draws a drill of the same kind that fits into the minutes.
func (c *course) another(it *practice.Item, offers []planning.Offer) {
	own := &c.world.lib.Drills[c.world.drill(it.Drill)]
	var among []string
	for _, o := range offers {
		d := &c.world.lib.Drills[o.Index]
		if d.Kind == own.Kind && c.plannable(o.Index) && d.SetMinutes+d.SetupMinutes <= it.Minutes {
			among = append(among, d.ID)
		}
	}
	if len(among) == 0 {
		return
	}
	d := &c.world.lib.Drills[c.world.drill(among[c.rng.IntN(len(among))])]
	it.Drill, it.Reps, it.Seconds, it.RestSeconds = d.ID, d.Reps, d.Seconds, d.RestSeconds
	it.Sets = max(1, int((it.Minutes-d.SetupMinutes)/d.SetMinutes+1e-9))
	it.Choice = &practice.Choice{Among: among, Probability: 1 / float64(len(among))}
}
