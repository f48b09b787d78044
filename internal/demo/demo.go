// Package demo invents Millgate Hall in Ellery Vale: its people, 24 students
// and 12 weeks of their logs, lived by simulated learners. Nobody in it exists.
package demo

import (
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/rehearse"
)

// Weeks is how many weeks of practice the logs hold.
const Weeks = 12

// StudioID is the id of the demo's studio.
const StudioID = "millgate"

// OwnerID is the id of its owner.
const OwnerID = "ines"

// Studio is the invented studio, as it stands at the end of a day.
type Studio struct {
	Studio    practice.Studio
	People    []practice.Person
	Guardians []practice.Guardian
	Covers    []practice.Cover
	Students  []practice.Student
	Logs      map[string]*practice.Log
	Notes     []practice.Note
	Consents  []practice.Consent
}

// part is what one student of the cast adds.
type part struct {
	student practice.Student
	log     practice.Log
}

// New invents the studio as it stands on the day: the logs end the day before.
// why puts the reason of a drill into words. The same day gives the same studio.
func New(lib *practice.Library, day practice.Date, why func(planning.Reason) string) (Studio, error) {
	zone, err := practice.ParseZone("Europe/London")
	if err != nil {
		return Studio{}, fmt.Errorf("demo: %w", err)
	}
	s := Studio{
		Studio: practice.Studio{Format: 2, ID: StudioID, Name: "Millgate Hall", Zone: zone},
		Logs:   map[string]*practice.Log{},
	}
	s.people(day)
	cast := cast(day)
	parts := make([]part, len(cast))
	errs := make([]error, len(cast))
	monday := day.NextMonday() // the logs are lived to the end of this week, and cut at the day
	parallel(len(cast), func(i int) {
		life := cast[i].life
		student, log, err := life.Play(lib, monday, zone, why)
		parts[i], errs[i] = part{student, log}, err
	})
	for i, p := range parts {
		if errs[i] != nil {
			return Studio{}, errs[i]
		}
		e := &edit{lib: lib, day: day, zone: zone, student: &p.student, log: &p.log}
		e.until(day - 1)
		for i := range p.log.Probes { // a coach writes whole numbers
			p.log.Probes[i].Value = math.Round(p.log.Probes[i].Value)
		}
		for _, trouble := range cast[i].troubles {
			trouble(e)
		}
		p.log.Sort()
		s.Students = append(s.Students, p.student)
		s.Logs[p.student.ID] = &p.log
		s.Notes = append(s.Notes, e.notes...)
		s.Consents = append(s.Consents, e.consents...)
	}
	return s, nil
}

func (s *Studio) people(day practice.Date) {
	s.People = []practice.Person{
		{ID: OwnerID, Name: "Ines Marlow", Email: "ines@millgate.example", Role: practice.Owner, Since: day - 2100},
		{ID: "joss", Name: "Joss Harrowgate", Email: "joss@millgate.example", Role: practice.Coach, Since: day - 700},
		{ID: "wenna", Name: "Wenna Tull", Email: "wenna@millgate.example", Role: practice.Assistant, Since: day - 160},
	}
	s.Guardians = []practice.Guardian{
		{ID: "maren", Name: "Maren Carrow", Email: "maren@carrow.example", Students: []string{"ilse"}},
		{ID: "piet", Name: "Piet Sallowfield", Email: "piet@sallowfield.example", Students: []string{"henrik"}},
	}
	s.Covers = []practice.Cover{{ID: "cover-1", For: "joss", By: OwnerID, From: day + 10, To: day + 16}}
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

// member is one student of the cast: a life, and what happened in it besides.
type member struct {
	life     rehearse.Life
	troubles []func(*edit)
}
