// Package planning turns a standing into a draft week: which drills a student
// may do, what each is worth, the minutes there are, the exact plan, and the
// sessions written out, with the reasons as data.
package planning

// Fixed is the minutes of a session outside the exact plan.
type Fixed struct {
	Prep    float64
	Cold    float64 // the first free tries of the day
	Tries   float64 // rested free tries
	Stretch float64 // at the most; less where nothing is tight
	Log     float64
}

func (f Fixed) total() float64 { return f.Prep + f.Cold + f.Tries + f.Stretch + f.Log }

// within is the frame cut down to so many minutes: the log goes first, then
// stretching and tries, prep last.
func (f Fixed) within(minutes float64) Fixed {
	for _, part := range []*float64{&f.Log, &f.Stretch, &f.Tries, &f.Cold, &f.Prep} {
		if over := f.total() - minutes; over > 0 {
			*part = max(0, *part-over)
		}
	}
	return f
}

// Settings are the figures a studio may edit. All are common practice without
// a source, to be judged against the simulated learner, unless said otherwise.
type Settings struct {
	FullFrom     float64 // minutes from which a session has the full frame
	Full         Fixed   // the frame of such a session
	Small        Fixed   // the frame under that
	LongFrom     float64 // practice minutes from which a session is a long one
	EasyFrom     float64 // chance of success from which a drill is easy
	OfferedFrom  float64 // under this chance a drill is not offered
	PeakLogit    float64 // logit of success at which a rep teaches most (p = 2/3)
	PeakWidth    float64 // logits, one standard deviation of that hump
	StrengthWide float64 // the same for strength work, which cares less
	NearMax      float64 // under this chance a challenge counts as near the limit
	NearMaxReps  int     // such reps a session, so that each is rested
	MaxDrills    int     // a week
	MaxLong      int     // a long session
	DrillCost    int
	Continuity   int
	MixPenalty   int
	Massing      []int   // worth of 0, 1, 2 ... sets of a component in a session
	LighterEvery int     // every so many weeks of practice one is lighter; 0: none
	LighterShare float64 // of the minutes
	GapDays      int     // days away after which a return starts lower
	GapShare     float64 // of the minutes
	RestDays     int     // days of the week without work on the hands
	TestMinutes  float64 // floor tests a week at the most; 0: none
}

// DefaultSettings are the settings of a studio that edits none.
func DefaultSettings() Settings {
	return Settings{
		FullFrom: 30, Full: Fixed{Prep: 8, Cold: 0.5, Tries: 4.5, Stretch: 6, Log: 3},
		Small: Fixed{Prep: 4, Cold: 1, Log: 1}, LongFrom: 20,
		EasyFrom: 0.8, OfferedFrom: 0.45, PeakLogit: 0.7, PeakWidth: 1.3, StrengthWide: 2,
		NearMax: 0.6, NearMaxReps: 12,
		MaxDrills: 6, MaxLong: 5, DrillCost: 60, Continuity: 120, MixPenalty: 3,
		Massing:      []int{0, 100, 200, 285, 350, 395, 435, 470, 500, 525, 545, 560, 570, 578, 584, 588, 590},
		LighterEvery: 5, LighterShare: 0.65, GapDays: 14, GapShare: 0.6, RestDays: 1, TestMinutes: 10,
	}
}
