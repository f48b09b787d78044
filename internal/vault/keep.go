package vault

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"
)

// How many backups are kept: the newest of each of so many days and weeks.
const (
	KeptDays  = 14
	KeptWeeks = 8
)

const nameLayout = "aplomb-20060102T150405Z.backup"

// BackupName is the file name of a backup made then.
func BackupName(made time.Time) string { return made.UTC().Format(nameLayout) }

// BackupMade is when the backup of this file name was made; ok is false for
// the name of anything else.
func BackupMade(name string) (made time.Time, ok bool) {
	made, err := time.Parse(nameLayout, name)
	return made, err == nil && BackupName(made) == name
}

// Keep says which backups may go: all but the newest of each of the last
// KeptDays days and KeptWeeks ISO 8601 weeks that have one, in UTC. Days and
// weeks without a backup take no place, so that neither a long pause nor a
// clock that ran ahead lets the last ones go. The newest never goes, nor what
// is younger than now: the clock was set back.
func Keep(existing []time.Time, now time.Time) (remove []time.Time) {
	type week struct{ year, week int }
	days, weeks := map[int64]bool{}, map[week]bool{}
	newestFirst := slices.SortedFunc(slices.Values(existing), func(a, b time.Time) int { return b.Compare(a) })
	for i, t := range newestFirst {
		if t.After(now) {
			continue
		}
		year, number := t.UTC().ISOWeek()
		day, of := t.UTC().Truncate(24*time.Hour).Unix(), week{year, number}
		keep := i == 0
		if !days[day] && len(days) < KeptDays {
			days[day], keep = true, true
		}
		if !weeks[of] && len(weeks) < KeptWeeks {
			weeks[of], keep = true, true
		}
		if !keep {
			remove = append(remove, t)
		}
	}
	return remove
}

// Prune removes the backups in a folder that [Keep] lets go, and gives their
// names. Call it when a new backup is on the disk, not before.
func Prune(dir string, now time.Time) (removed []string, err error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, notWritten(dir, err)
	}
	var made []time.Time
	for _, e := range entries {
		if t, ok := BackupMade(e.Name()); ok && e.Type().IsRegular() {
			made = append(made, t)
		}
	}
	for _, t := range Keep(made, now) {
		path := filepath.Join(dir, BackupName(t))
		if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return removed, notWritten(path, err)
		}
		removed = append(removed, BackupName(t))
	}
	return removed, nil
}
