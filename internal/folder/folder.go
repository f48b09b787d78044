// Package folder reads and writes a studio as a folder of CSV and JSON files,
// formats 1 to 3, and says of every fault where it is and what would be right.
//
// The files and their fields are described in doc/schema.
package folder

import (
	"io/fs"

	"aplomb/internal/library"
	"aplomb/internal/practice"
)

// Format is the format number this package writes. It reads every one from 1.
const Format = 3

// Studio is a studio folder as read.
type Studio struct {
	practice.Studio
	Library   *practice.Library // the built-in one with the studio's own drills
	Own       []practice.Drill  // the studio's own drills, as in drills.json
	People    []practice.Person
	Students  []practice.Student // as in students.json
	Guardians []practice.Guardian
	Covers    []practice.Cover
	Wishes    []practice.Wish
	Logs      map[string]*practice.Log       // by student; one for every student
	Notes     map[string][]practice.Note     // by student
	Consents  map[string][]practice.Consent  // by student
	Decisions map[string][]practice.Decision // by student
	Receipts  map[string][]practice.Receipt  // by student
	Changes   []practice.Change
}

// Read reads a studio folder whole, on top of a base library. Where there are
// faults the studio is nil: half a log is no ground to plan on. Faults and
// error are those of [Scan].
func Read(fsys fs.FS, base *practice.Library) (*Studio, practice.Faults, error) {
	s := &Studio{Logs: map[string]*practice.Log{}, Notes: map[string][]practice.Note{},
		Consents: map[string][]practice.Consent{}, Decisions: map[string][]practice.Decision{}, Receipts: map[string][]practice.Receipt{}}
	faults, err := Scan(fsys, base, gather{s})
	if err != nil || len(faults) > 0 {
		return nil, faults, err
	}
	s.Library = library.Merge(base, s.Own)
	for _, log := range s.Logs {
		log.Sort()
	}
	return s, nil, nil
}
