package cli

import (
	"errors"
	"fmt"
	"os"
	"slices"

	"aplomb/internal/folder"
	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// openStudio reads a studio folder; faults are the error.
func openStudio(dir string) (*folder.Studio, error) {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, os.ErrNotExist):
		return nil, practice.Fault{Code: practice.NoSuchPath, File: dir, Err: err}
	case err != nil:
		return nil, practice.Fault{Code: practice.NotRead, File: dir, Err: err}
	case !info.IsDir():
		return nil, &misuseError{fmt.Errorf("%s", words.English.Say("studio.not.folder", "path", dir)), "page"}
	}
	studio, faults, err := folder.Read(os.DirFS(dir), library.Builtin())
	if err != nil {
		return nil, practice.Fault{Code: practice.NotRead, File: dir, Err: err}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	if len(studio.MilestonesS) == 0 {
		studio.MilestonesS = practice.DefaultMilestonesS
	}
	return studio, nil
}

// asOf is the day asked for, or today in the studio's time zone.
func asOf(env *Env, given string, studio *folder.Studio) (practice.Date, error) {
	if given == "" {
		now := env.Now()
		return studio.Zone.Date(practice.Instant{UnixNano: now.UnixNano()}), nil
	}
	day, err := practice.ParseDate(given)
	if err != nil {
		return 0, &misuseError{fmt.Errorf("%s", words.English.Say("misuse.date", "value", practice.Short(given))), "review"}
	}
	return day, nil
}

// pick is the students asked for: one by id, or all.
func pick(studio *folder.Studio, id string) ([]practice.Student, error) {
	if id == "" {
		return studio.Students, nil
	}
	var ids []string
	for _, s := range studio.Students {
		if s.ID == id {
			return []practice.Student{s}, nil
		}
		ids = append(ids, s.ID)
	}
	slices.Sort(ids)
	return nil, &misuseError{fmt.Errorf("%s", words.English.Say("misuse.student", "id", practice.Short(id), "near", practice.Nearest(id, ids))), "page"}
}

// atDesk opens a studio for the students asked for, as of a day.
func atDesk(env *Env, dir, asked, day string) (studio *folder.Studio, students []practice.Student, on practice.Date, err error) {
	if studio, err = openStudio(dir); err != nil {
		return nil, nil, 0, err
	}
	if on, err = asOf(env, day, studio); err != nil {
		return nil, nil, 0, err
	}
	students, err = pick(studio, asked)
	return studio, students, on, err
}
