package storetest

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// Writers is how many write at once while a program is killed.
const Writers = 8

// batchRows is how many tries a batch of the log has.
const batchRows = 20

// killed is who writes in the tests of kills.
var killed = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}

// Furnish makes the studio and a student for every writer.
func Furnish(ctx context.Context, s *store.Store) error {
	if _, err := s.PutStudio(ctx, killed, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0); err != nil {
		return err
	}
	for w := range Writers {
		if _, err := s.PutStudent(ctx, killed, practice.Student{ID: writer(w), Name: writer(w)}, 0); err != nil {
			return err
		}
	}
	return nil
}

func writer(w int) string { return fmt.Sprintf("w%d", w) }

// Write lets the writers change the studio until something fails, each change
// told to out in one line once the store has answered for it. Round makes what
// they write their own. It returns the first error.
func Write(ctx context.Context, s *store.Store, round int, out io.Writer) error {
	var mu sync.Mutex
	var first error
	var wg sync.WaitGroup
	for w := range Writers {
		wg.Go(func() {
			for n := 0; ; n++ {
				line, err := change(ctx, s, writer(w), round, n)
				mu.Lock()
				if err == nil && first == nil {
					_, err = fmt.Fprintln(out, line)
				}
				if first == nil {
					first = err
				}
				stop := first != nil
				mu.Unlock()
				if stop {
					return
				}
			}
		})
	}
	wg.Wait()
	return first
}

// change makes one change of one student and says which.
func change(ctx context.Context, s *store.Store, student string, round, n int) (string, error) {
	id := fmt.Sprintf("%s-%d-%d", student, round, n)
	switch n % (4 + len(stages)) {
	case 0:
		kept, err := s.Student(ctx, killed, student)
		if err != nil {
			return "", err
		}
		kept.Value.Goal = id
		rev, err := s.PutStudent(ctx, killed, kept.Value, kept.Rev)
		return fmt.Sprintf("student %s %d", student, rev), err
	case 1:
		var log practice.Log
		for i := range batchRows {
			log.Attempts = append(log.Attempts, practice.Attempt{ID: fmt.Sprintf("%s-%d", id, i), Student: student, Drill: practice.OpenTry, At: at(int64(n))})
		}
		return "batch " + student + " " + id, s.AddLog(ctx, killed, student, log)
	case 2:
		_, err := s.PutNote(ctx, killed, practice.Note{ID: id, Student: student, By: "ines", Kind: practice.StopNote, At: at(int64(n)), Text: "the story of " + id}, 0)
		return "note " + student + " " + id, err
	case 3:
		_, err := s.PutWeek(ctx, killed, practice.Week{Student: student, ISOWeek: practice.ISOWeek{Year: 2026, Week: 1 + n%52}, Version: 1 + 1000*round + n,
			Status: practice.HandedOver}, 0)
		return fmt.Sprintf("week %s %s/%s/%d", student, student, practice.ISOWeek{Year: 2026, Week: 1 + n%52}, 1+1000*round+n), err
	}
	name := guestName(student, round, n/(4+len(stages)))
	stage := stages[n%(4+len(stages))-4]
	return stage + " " + student + " " + name, guest(ctx, s, name, stage)
}

// Told is what was answered for, over all rounds.
type Told struct {
	revs  map[string]int64           // of students, the highest
	there map[string]map[string]bool // by student: "batch ID", "note ID", "week ID"
	stage map[string]string          // of guests, the last
	Lines int
}

// Read takes the lines a program wrote before it was killed; the last may be
// cut off.
func (k *Told) Read(r io.Reader) error {
	if k.revs == nil {
		k.revs, k.there, k.stage = map[string]int64{}, map[string]map[string]bool{}, map[string]string{}
	}
	lines := bufio.NewReader(r)
	for {
		line, err := lines.ReadString('\n')
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		f := strings.Fields(line)
		if len(f) != 3 {
			continue // a line of the test program, not of a writer
		}
		k.Lines++
		if f[0] == "student" {
			var rev int64
			if _, err := fmt.Sscan(f[2], &rev); err != nil {
				return err
			}
			k.revs[f[1]] = max(k.revs[f[1]], rev)
			continue
		}
		if slices.Contains(stages, f[0]) {
			k.stage[f[2]] = f[0]
			continue
		}
		if k.there[f[1]] == nil {
			k.there[f[1]] = map[string]bool{}
		}
		k.there[f[1]][f[0]+" "+f[2]] = true
	}
}

// Check holds the store against what was answered for: every change that was is
// there, and none, answered for or not, is half there: rows come with their line
// of the audit trail, batches whole, private texts with their note, guests as
// far as they got.
func (k *Told) Check(t *testing.T, s *store.Store) {
	t.Helper()
	for w := range Writers {
		student := writer(w)
		r, err := s.Record(ctx, killed, student)
		if err != nil {
			t.Fatal(err)
		}
		trail, err := s.Changes(ctx, killed, student)
		if err != nil {
			t.Fatal(err)
		}
		lines := map[string]int{}
		for _, c := range trail {
			key := string(c.Noun) + " " + c.Key
			if c.Noun == practice.StudentNoun || c.Noun == practice.AttemptNoun {
				key = string(c.Noun)
			}
			lines[key]++
		}
		if r.Student.Rev < k.revs[student] || int64(lines["student"]) != r.Student.Rev {
			t.Errorf("%s: revision %d, answered for %d, %d lines", student, r.Student.Rev, k.revs[student], lines["student"])
		}
		there := map[string]bool{}
		batches := map[string]int{}
		for _, a := range r.Log.Attempts {
			batches[a.ID[:strings.LastIndexByte(a.ID, '-')]]++
		}
		for id, n := range batches {
			there["batch "+id] = true
			if n != batchRows {
				t.Errorf("%s: batch %s has %d of %d rows", student, id, n, batchRows)
			}
		}
		if lines["attempt"] != len(batches) {
			t.Errorf("%s: %d batches, %d lines", student, len(batches), lines["attempt"])
		}
		for _, n := range r.Notes {
			there["note "+n.ID] = true
			if lines["note "+n.ID] != 1 || n.Text != "the story of "+n.ID {
				t.Errorf("%s: note %s reads %q, %d lines", student, n.ID, n.Text, lines["note "+n.ID])
			}
		}
		for _, v := range r.Log.Weeks {
			id := fmt.Sprintf("%s/%s/%d", student, v.ISOWeek, v.Version)
			there["week "+id] = true
			if lines["week "+id] != 1 {
				t.Errorf("%s: week %s has %d lines", student, id, lines["week "+id])
			}
		}
		for what := range k.there[student] {
			if !there[what] {
				t.Errorf("%s: %s was answered for and is gone", student, what)
			}
		}
	}
	k.guests(t, s)
}
