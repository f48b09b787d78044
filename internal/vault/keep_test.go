package vault

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"pgregory.net/rapid"
)

var today = time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)

func drawBackups(t *rapid.T) []time.Time {
	hours := rapid.SliceOfNDistinct(rapid.IntRange(-24*800, 24*400), 0, 120, rapid.ID[int]).Draw(t, "hours")
	var all []time.Time
	for _, h := range hours {
		all = append(all, today.Add(time.Duration(h)*time.Hour))
	}
	return all
}

func without(all, remove []time.Time) []time.Time {
	return slices.DeleteFunc(slices.Clone(all), func(t time.Time) bool { return slices.Contains(remove, t) })
}

// What goes was there, is not younger than the clock, and is not the newest;
// the newest of each calendar day of the last 14 and each ISO week of the last
// 8 stays; no more than 22 up to now stay; and asking again removes nothing.
func TestKeepHoldsTheRule(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		all := drawBackups(t)
		remove := Keep(all, today)
		kept := without(all, remove)
		if len(kept)+len(remove) != len(all) {
			t.Fatal("something goes that was not there, or twice")
		}
		past := 0
		for _, b := range all {
			gone := slices.Contains(remove, b)
			if gone && (b.After(today) || b.Equal(slices.MaxFunc(all, time.Time.Compare))) {
				t.Fatalf("%v goes", b)
			}
			if gone && mustStay(b, all) {
				t.Fatalf("%v goes, the newest of its day or week", b)
			}
			if !gone && !b.After(today) {
				past++
			}
		}
		if past > KeptDays+KeptWeeks {
			t.Fatalf("%d stay", past)
		}
		if again := Keep(kept, today); len(again) > 0 {
			t.Fatalf("asked again, %v go", again)
		}
	})
}

// mustStay is the rule by the calendar, said another way.
func mustStay(b time.Time, all []time.Time) bool {
	newest := func(same func(a time.Time) bool) bool {
		return !slices.ContainsFunc(all, func(a time.Time) bool { return a.After(b) && !a.After(today) && same(a) })
	}
	monday := func(t time.Time) time.Time {
		return t.Truncate(24*time.Hour).AddDate(0, 0, -(int(t.Weekday())+6)%7)
	}
	inDays := b.After(today.Truncate(24*time.Hour).AddDate(0, 0, -KeptDays+1).Add(-1))
	inWeeks := !monday(b).Before(monday(today).AddDate(0, 0, -7*(KeptWeeks-1)))
	return inDays && newest(func(a time.Time) bool { return a.Format(time.DateOnly) == b.Format(time.DateOnly) }) ||
		inWeeks && newest(func(a time.Time) bool { return monday(a).Equal(monday(b)) })
}

// Four backups a day for half a year, pruned after each: 14 days and 8 weeks
// are there.
func TestKeepOverHalfAYear(t *testing.T) {
	var kept []time.Time
	now := today
	for range 4 * 180 {
		kept = append(kept, now)
		kept = without(kept, Keep(kept, now))
		now = now.Add(6 * time.Hour)
	}
	last := now.Add(-6 * time.Hour)
	days := map[string]bool{}
	weeks := map[[2]int]bool{}
	for _, b := range kept {
		y, w := b.ISOWeek()
		weeks[[2]int{y, w}] = true
		if last.Sub(b) < KeptDays*24*time.Hour {
			days[b.Format(time.DateOnly)] = true
		}
	}
	if len(days) != KeptDays || len(weeks) != KeptWeeks || len(kept) > KeptDays+KeptWeeks {
		t.Errorf("%d days, %d weeks, %d backups", len(days), len(weeks), len(kept))
	}
	// The eighth week is this one and seven before: its newest, of a Sunday night, is 6 to 7 weeks old.
	if age := last.Sub(slices.MinFunc(kept, time.Time.Compare)); age < 42*24*time.Hour || age > 50*24*time.Hour {
		t.Errorf("the oldest is of %v ago", age)
	}
}

// A clock a year back costs nothing; one a year ahead no more than the place its
// own backup takes.
func TestKeepWithAWrongClock(t *testing.T) {
	var all []time.Time
	for d := range 14 {
		all = append(all, today.AddDate(0, 0, -d))
	}
	if gone := Keep(all, today.AddDate(-1, 0, 0)); len(gone) > 0 {
		t.Errorf("set back: %v go", gone)
	}
	ahead := today.AddDate(1, 0, 0)
	if gone := Keep(append(all, ahead), ahead); len(gone) > 1 {
		t.Errorf("ahead: %v go", gone)
	}
	if gone := Keep(append(all, ahead), today); len(gone) > 0 {
		t.Errorf("set right again: %v go", gone)
	}
}

func TestBackupNames(t *testing.T) {
	made := time.Date(2026, 11, 25, 4, 15, 0, 0, time.FixedZone("", 3600))
	if got := BackupName(made); got != "aplomb-20261125T031500Z.backup" {
		t.Error(got)
	}
	if got, ok := BackupMade("aplomb-20261125T031500Z.backup"); !ok || !got.Equal(made) {
		t.Error(got, ok)
	}
	for _, name := range []string{"", "aplomb-20261125T031500Z.backup.part", "x-20261125T031500Z.backup", "aplomb-20261325T031500Z.backup",
		"aplomb-20261125T031500.5Z.backup", "aplomb-20261125T031500Z.BACKUP"} {
		if _, ok := BackupMade(name); ok {
			t.Errorf("%q is taken for a backup", name)
		}
	}
}

// Pruning touches backups alone.
func TestPrune(t *testing.T) {
	dir := t.TempDir()
	var names []string
	for d := range 90 {
		names = append(names, BackupName(today.AddDate(0, 0, -d)))
	}
	others := []string{"studio.db", "erased", "aplomb-2026.backup"}
	for _, name := range append(names, others...) {
		if err := os.WriteFile(filepath.Join(dir, name), nil, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Mkdir(filepath.Join(dir, BackupName(today.AddDate(-1, 0, 0))), 0o700); err != nil {
		t.Fatal(err)
	}
	removed, err := Prune(dir, today)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range append(names, others...) {
		_, err := os.Lstat(filepath.Join(dir, name))
		if slices.Contains(removed, name) != os.IsNotExist(err) {
			t.Errorf("%s: removed %v, %v", name, slices.Contains(removed, name), err)
		}
	}
	if slices.Contains(removed, names[0]) || !slices.Contains(removed, names[89]) {
		t.Errorf("removed %v", removed)
	}
	if _, err := Prune(filepath.Join(dir, "none"), today); err == nil {
		t.Error("a folder that is not there was pruned")
	}
}
