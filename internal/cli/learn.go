package cli

import (
	"aplomb/internal/assess"
	"aplomb/internal/folder"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// learnCommand prints what the logs of a studio say together.
type learnCommand struct {
	Studio string `arg:""`
	AsOf   string `placeholder:"DATE"`
	JSON   bool   `name:"json"`
}

// Run learns across all students of the studio.
func (c *learnCommand) Run(env *Env) error {
	studio, students, day, err := atDesk(env, c.Studio, "", c.AsOf)
	if err != nil {
		return err
	}
	learned, err := learn(env, studio, students, day)
	if err != nil {
		return err
	}
	if c.JSON {
		return printJSON(env, learned)
	}
	return printLearned(env, words.English, studio, &learned)
}

// learn finds every student's standing, on every core, then learns from all.
func learn(env *Env, studio *folder.Studio, students []practice.Student, day practice.Date) (assess.Learned, error) {
	bar := progress(env, "progress.review", len(students))
	subjects := make([]assess.Subject, len(students))
	standings := make([]assess.Standing, len(students))
	parallel(len(students), func(i int) {
		s := students[i]
		subjects[i] = assess.Subject{Student: s, Zone: studio.Zone, Log: studio.Logs[s.ID], Library: studio.Library,
			Milestones: studio.MilestonesS, AsOf: day}
		standings[i] = assess.Stand(subjects[i])
		bar()
	})
	learned, err := assess.Learn(subjects, standings)
	learned.AsOf = day
	return learned, err
}
