package learner

// figure is a field of Params with what there is to say about it. One whose Low
// is its High is not moved by a sensitivity run.
type figure struct {
	Range
	of     func(*Params) *float64
	spread bool // a standard deviation: 0 makes all students alike
}

const (
	guess   = "assumption"
	twoRate = "structure Smith, Ghazizadeh & Shadmehr 2006; size assumed"
	share   = "share"
)

func moved(name, unit, basis string, value, low, high float64, of func(*Params) *float64) figure {
	return figure{Range: Range{name, unit, basis, value, low, high}, of: of}
}

func fixed(name, unit, basis string, value float64, of func(*Params) *float64) figure {
	return moved(name, unit, basis, value, value, value, of)
}

func spread(f figure) figure {
	f.spread = true
	return f
}

var figures = []figure{
	moved("fast-gain", "of the gap, a rep", twoRate, .014, .007, .028, func(p *Params) *float64 { return &p.FastGain }),
	moved("slow-gain", "of the gap, a rep", twoRate, .0035, .00175, .007, func(p *Params) *float64 { return &p.SlowGain }),
	moved("fast-kept", share, guess, .985, .9, .995, func(p *Params) *float64 { return &p.FastKept }),
	fixed("own", share, guess, .7, func(p *Params) *float64 { return &p.Own }),
	moved("alpha", "exponent", "inverted U Guadagnoli & Lee 2004, Wilson 2019; peak assumed, .5 to .85", 2, 1, 17./3, func(p *Params) *float64 { return &p.Alpha }),
	fixed("beta", "exponent", guess, 1, func(p *Params) *float64 { return &p.Beta }),
	moved("floor", share, guess, .05, 0, .3, func(p *Params) *float64 { return &p.Floor }),
	moved("contrast", share, "Czyż 2024: almost nothing in the field", .10, 0, .3, func(p *Params) *float64 { return &p.Contrast }),
	moved("switch", "logits", "Czyż 2024: almost nothing in the field", .15, 0, .3, func(p *Params) *float64 { return &p.Switch }),
	moved("tired", "a unit of slow fatigue", "sign Branscheidt 2019; size assumed", .7, 0, 1.4, func(p *Params) *float64 { return &p.Tired }),
	moved("quick", "a rep", guess, .05, .025, .1, func(p *Params) *float64 { return &p.Quick }),
	moved("slow", "a rep", guess, .010, .005, .020, func(p *Params) *float64 { return &p.Slow }),
	moved("penalty", "logits a unit of fatigue", guess, .5, .2, 1, func(p *Params) *float64 { return &p.Penalty }),
	moved("cold", "logits", "warm-up decrement: a time scale of its own, size assumed", .6, .3, 1.2, func(p *Params) *float64 { return &p.Cold }),
	moved("warm-reps", "reps", "warm-up decrement: a time scale of its own, size assumed", 4, 2, 10, func(p *Params) *float64 { return &p.WarmReps }),
	moved("try-lesson", share, guess, .2, 0, .4, func(p *Params) *float64 { return &p.TryLesson }),

	moved("night", share, "direction Shea, Lai, Black & Park 2000, Casabona 2018; size assumed", .25, .1, .5, func(p *Params) *float64 { return &p.Night }),
	moved("fast-days", "days", guess, .5, .2, 2, func(p *Params) *float64 { return &p.FastDays }),
	moved("slow-days", "days", guess, 75, 30, 180, func(p *Params) *float64 { return &p.SlowDays }),
	moved("over", "effective reps", guess, 300, 150, 600, func(p *Params) *float64 { return &p.Over }),

	moved("dose", "sixths of the gap", guess, .14, .07, .28, func(p *Params) *float64 { return &p.Dose }),
	moved("dose-min", "minutes", guess, 8, 4, 16, func(p *Params) *float64 { return &p.DoseMin }),
	moved("dose-days", "days", "rest of about 48 h, from memory", 1.5, .75, 3, func(p *Params) *float64 { return &p.DoseDays }),
	moved("dose-fade", "days", guess, 120, 60, 240, func(p *Params) *float64 { return &p.DoseFade }),

	moved("softness", "1/logit", guess, 1, .1, 2, func(p *Params) *float64 { return &p.Softness }),
	moved("gate", "logits a unit of fear", guess, .5, 0, 1, func(p *Params) *float64 { return &p.Gate }),
	moved("nerve", share, guess, .10, 0, .2, func(p *Params) *float64 { return &p.Nerve }),
	moved("hazard", "1/s", guess, .15, .10, .22, func(p *Params) *float64 { return &p.Hazard }),
	moved("settling", "times the hazard", guess, 2, 1, 4, func(p *Params) *float64 { return &p.Settling }),
	fixed("settle-s", "s", guess, 1.5, func(p *Params) *float64 { return &p.SettleS }),
	moved("wear", "shape", guess, 3, 2, 4, func(p *Params) *float64 { return &p.Wear }),
	moved("wear-s", "s", guess, 25, 15, 40, func(p *Params) *float64 { return &p.WearS }),

	fixed("ceiling", "logits", guess, 7.5, func(p *Params) *float64 { return &p.Ceiling }),
	spread(fixed("ceiling-sd", "logits", guess, .6, func(p *Params) *float64 { return &p.CeilingSD })),
	spread(moved("rate-sd", "ln", guess, .35, .2, .6, func(p *Params) *float64 { return &p.RateSD })),
	spread(fixed("tiring-sd", "ln", guess, .25, func(p *Params) *float64 { return &p.TiringSD })),
	spread(fixed("start-sd", "logits", guess, .6, func(p *Params) *float64 { return &p.StartSD })),
	spread(fixed("shared-sd", "logits", guess, .4, func(p *Params) *float64 { return &p.SharedSD })),
	spread(moved("test-sd", "logits", guess, .5, .3, .8, func(p *Params) *float64 { return &p.TestSD })),
	moved("adherence", share, guess, .85, .5, 1, func(p *Params) *float64 { return &p.Adherence }),
	spread(fixed("adherence-sd", "logits", guess, .4, func(p *Params) *float64 { return &p.AdherenceSD })),
	fixed("bear-min", "minutes", guess, 20, func(p *Params) *float64 { return &p.BearMin }),
}

func figureOf(name string) figure {
	for _, f := range figures {
		if f.Name == name {
			return f
		}
	}
	panic("learner: no figure " + name)
}
