package cli

import (
	"encoding/json"
	"runtime"
	"sync"
	"sync/atomic"
	"time"

	"github.com/schollz/progressbar/v3"

	"aplomb/internal/assess"
	"aplomb/internal/folder"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// reviewCommand prints standings and next weeks.
type reviewCommand struct {
	Studio  string `arg:""`
	Student string `placeholder:"ID"`
	AsOf    string `placeholder:"DATE"`
	JSON    bool   `name:"json"`
}

// weekBudget is how long the exact plan of one week may search before the best
// found is taken with its bound.
const weekBudget = 200 * time.Millisecond

// nearestLeftOut is how many left-out drills are priced when all are reviewed.
const nearestLeftOut = 5

// reviewed is one student's review.
type reviewed struct {
	telling.Review
	alone bool // one student was asked for: everything is said
}

// Run reviews one student or all.
func (c *reviewCommand) Run(env *Env) error {
	studio, students, day, err := atDesk(env, c.Studio, c.Student, c.AsOf)
	if err != nil {
		return err
	}
	leftOut := nearestLeftOut
	if c.Student != "" {
		leftOut = -1
	}
	reviews, err := review(env, studio, students, day, leftOut)
	if err != nil {
		return err
	}
	if c.JSON {
		return printReviewJSON(env, words.English, reviews)
	}
	return printReviews(env, words.English, reviews)
}

// review does the work, on every core. Groups share a week, so the standing of
// every member is computed even where one student is asked for.
func review(env *Env, studio *folder.Studio, asked []practice.Student, day practice.Date, leftOut int) ([]reviewed, error) {
	needed := withGroups(studio, asked)
	bar := progress(env, "progress.review", len(needed)+len(asked))
	inputs := make([]planning.Input, len(needed))
	parallel(len(needed), func(i int) {
		s := needed[i]
		log := studio.Logs[s.ID]
		standing := assess.Stand(assess.Subject{Student: s, Zone: studio.Zone, Log: log, Library: studio.Library,
			Milestones: studio.MilestonesS, AsOf: day})
		inputs[i] = planning.For(s, standing, studio.Library, studio.Wishes, log)
		bar()
	})
	solver := planning.Solver{Budget: weekBudget, Now: env.Now, LeftOut: leftOut}
	if err := planning.ShareInGroups(inputs, solver); err != nil {
		return nil, err
	}
	out := make([]reviewed, len(asked))
	errs := make([]error, len(asked))
	parallel(len(asked), func(i int) {
		in := inputs[i]
		draft, err := planning.Make(in, solver)
		out[i], errs[i] = reviewed{telling.Review{Student: in.Student, Standing: in.Standing, Draft: draft, Library: in.Library}, leftOut < 0}, err
		bar()
	})
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// withGroups is the students asked for, in their order, then the other members
// of their groups.
func withGroups(studio *folder.Studio, asked []practice.Student) []practice.Student {
	out := append([]practice.Student{}, asked...)
	have, groups := map[string]bool{}, map[string]bool{}
	for _, s := range asked {
		have[s.ID] = true
		groups[s.Group] = s.Group != ""
	}
	for _, s := range studio.Students {
		if !have[s.ID] && groups[s.Group] {
			out = append(out, s)
		}
	}
	return out
}

// parallel runs do(0) to do(n-1) on every core.
func parallel(n int, do func(int)) {
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	wg.Wait()
}

// progress gives a function to call once a step of what is being done. Where a person watches, a bar
// appears once the work has taken a second.
func progress(env *Env, doing string, steps int) func() {
	if !env.Terminal {
		return func() {}
	}
	start := env.Now()
	var mu sync.Mutex
	var bar *progressbar.ProgressBar
	done := 0
	return func() {
		mu.Lock()
		defer mu.Unlock()
		done++
		if bar == nil && env.Now().Sub(start) > time.Second {
			bar = progressbar.NewOptions(steps, progressbar.OptionSetWriter(env.Stderr), progressbar.OptionClearOnFinish(),
				progressbar.OptionSetDescription(words.English.Say(doing)), progressbar.OptionThrottle(100*time.Millisecond))
		}
		if bar != nil {
			// A bar that cannot be drawn is no reason to stop.
			_ = bar.Set(done)
		}
	}
}

// weekJSON is the week of a review.
type weekJSON struct {
	ISOWeek   practice.ISOWeek          `json:"iso_week"`
	Sessions  []practice.PlannedSession `json:"sessions"`
	Smaller   []smallerJSON             `json:"smaller"` // of each session
	Tests     []testJSON                `json:"tests"`   // floor tests worth their minutes
	DaysOff   []practice.Item           `json:"days_off,omitempty"`
	Minutes   float64                   `json:"minutes_share"`
	Objective int                       `json:"objective"`
	Bound     int                       `json:"bound"`
	Proved    bool                      `json:"proved"`
	LeftOut   []leftOutJSON             `json:"left_out"`
	Empty     string                    `json:"empty,omitempty"`
	Unmet     []string                  `json:"unmet,omitempty"`
	Group     []string                  `json:"shared_with_group,omitempty"`
}

// smallerJSON is the two smaller versions of one session.
type smallerJSON struct {
	Day         practice.Weekday        `json:"day"`
	Tired       practice.PlannedSession `json:"tired"`
	FiveMinutes practice.PlannedSession `json:"five_minutes"`
}

// testJSON is a floor test of the week; worth and cost are shares of what the
// week's practice is worth.
type testJSON struct {
	Test      string                `json:"test"`
	Component practice.Component    `json:"component"`
	Day       practice.Weekday      `json:"day"`
	Minutes   float64               `json:"minutes"`
	Worth     float64               `json:"worth"`
	Cost      float64               `json:"cost"`
	Between   [2]practice.Component `json:"between"`
	Why       string                `json:"why"`
}

type leftOutJSON struct {
	Drill string `json:"drill"`
	Loss  *int   `json:"loss"`
	Why   string `json:"why"`
}

type reviewJSON struct {
	assess.Standing
	LookFor []practice.Trouble `json:"look_for"`
	Week    weekJSON           `json:"week"`
}

func printReviewJSON(env *Env, b *words.Book, reviews []reviewed) error {
	out := make([]reviewJSON, len(reviews))
	for i := range reviews {
		r := &reviews[i]
		telling.Dress(b, &r.Review)
		w := weekJSON{ISOWeek: r.Draft.Week.ISOWeek, Sessions: r.Draft.Week.Sessions, DaysOff: r.Draft.Week.DaysOff, Minutes: r.Draft.Share.Of,
			Objective: r.Draft.Result.Objective, Bound: r.Draft.Result.Bound, Proved: r.Draft.Result.Proved,
			LeftOut: []leftOutJSON{}, Tests: []testJSON{}, Smaller: []smallerJSON{}, Empty: string(r.Draft.Empty), Unmet: telling.Unmet(b, &r.Review), Group: r.Draft.Group.Shared}
		for _, s := range r.Draft.Week.Sessions {
			w.Smaller = append(w.Smaller, smallerJSON{s.Day, planning.Tired(s, r.Library), planning.FiveMinutes(s, r.Library)})
		}
		for _, t := range r.Draft.Tests {
			w.Tests = append(w.Tests, testJSON{t.ID, t.Component, t.Day, t.Minutes, t.Worth, t.Cost, t.Between, telling.TestWhy(b, t)})
		}
		for _, l := range r.Draft.LeftOut {
			w.LeftOut = append(w.LeftOut, leftOutJSON{l.Drill, l.Loss, telling.LeftOut(b, &r.Review, l)})
		}
		out[i] = reviewJSON{r.Standing, append([]practice.Trouble{}, r.Draft.LookFor...), w}
	}
	return printJSON(env, out)
}

func printJSON(env *Env, v any) error {
	enc := json.NewEncoder(env.Stdout)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	return enc.Encode(v)
}
