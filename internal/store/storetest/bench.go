package storetest

import (
	"fmt"
	"math/rand/v2"
	"os"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// The big studio of the benchmarks, and what each of its students has.
const (
	bigStudents = 2000
	bigAttempts = 1000
	bigSessions = 150
	bigTallies  = 100
	bigWeeks    = 10
	weekBytes   = 4000
	bigNotes    = 30
	bigReaders  = 200
)

// Benchmark fills a studio of 2,000 students and 2,000,000 attempts, reads full
// records one after another, then with 200 at once and somebody who writes. It
// prints the times and the most memory the process ever had (VmHWM, of Linux).
func Benchmark(b *testing.B, fresh Fresh) {
	s := fresh(b)(TheKey)
	who := practice.Who{Studio: "big", ID: "ines", Role: practice.AtTheDesk}
	b.Run("Load", func(b *testing.B) {
		for i := range b.N {
			if i > 0 {
				b.Fatal("one studio is loaded once: run with the usual -benchtime")
			}
			ok(b, s.Load(ctx, who, fill))
		}
		b.ReportMetric(float64(bigStudents*bigAttempts)/b.Elapsed().Seconds(), "attempts/s")
		b.ReportMetric(peak(b), "MB-peak")
	})
	b.Run("Record", func(b *testing.B) {
		var took []time.Duration
		for b.Loop() {
			took = append(took, record(b, s, who, rand.IntN(bigStudents)))
		}
		report(b, took)
	})
	b.Run("Readers", func(b *testing.B) {
		for b.Loop() {
			report(b, crowd(b, s, who))
		}
	})
}

func report(b *testing.B, took []time.Duration) {
	slices.Sort(took)
	for _, p := range []int{50, 95, 99} {
		b.ReportMetric(float64(took[(len(took)-1)*p/100].Microseconds())/1000, "ms-p"+strconv.Itoa(p))
	}
	b.ReportMetric(peak(b), "MB-peak")
}

// record reads one student's full record, and checks that it is full.
func record(b testing.TB, s *store.Store, who practice.Who, i int) time.Duration {
	start := time.Now()
	r, err := s.Record(ctx, who, studentID(i))
	took := time.Since(start)
	if err != nil || len(r.Log.Attempts) < bigAttempts || len(r.Log.Weeks) != bigWeeks || len(r.Notes) != bigNotes {
		b.Errorf("record %d: %d attempts, %v", i, len(r.Log.Attempts), err)
	}
	return took
}

// crowd is 200 readers of five records each, while one writes.
func crowd(b *testing.B, s *store.Store, who practice.Who) (took []time.Duration) {
	var readers, writer sync.WaitGroup
	var mu sync.Mutex
	stop := make(chan struct{})
	wrote := 0
	writer.Go(func() {
		for ; ; wrote++ {
			select {
			case <-stop:
				return
			default:
			}
			id := studentID(wrote % bigStudents)
			row := practice.Attempt{ID: NewID(), Student: id, At: at(int64(wrote)), Drill: practice.OpenTry}
			if err := s.AddLog(ctx, who, id, practice.Log{Attempts: []practice.Attempt{row}}); err != nil {
				b.Error(err)
				return
			}
		}
	})
	start := time.Now()
	for range bigReaders {
		readers.Go(func() {
			for range 5 {
				one := record(b, s, who, rand.IntN(bigStudents))
				mu.Lock()
				took = append(took, one)
				mu.Unlock()
			}
		})
	}
	readers.Wait()
	spent := time.Since(start).Seconds()
	close(stop)
	writer.Wait()
	b.ReportMetric(float64(len(took))/spent, "records/s")
	b.ReportMetric(float64(wrote)/spent, "writes/s")
	return took
}

// peak is the most memory the process ever had, in megabytes.
func peak(b testing.TB) float64 {
	text, err := os.ReadFile("/proc/self/status")
	if err != nil {
		b.Skip("the most memory a process had is read from /proc, which " + runtime.GOOS + " does not have")
	}
	_, line, _ := strings.Cut(string(text), "VmHWM:")
	var kB float64
	if _, err := fmt.Sscan(line, &kB); err != nil {
		b.Fatal(err)
	}
	return kB / 1000
}

func studentID(i int) string { return fmt.Sprintf("student-%04d", i) }

// fill loads the big studio, the rows of one noun after those of another, as a
// folder has them; ids are random, as phones make them.
func fill(l *store.Loader) error {
	if err := l.Studio(practice.Studio{Format: 2, ID: "big", Name: "Big Hall"}); err != nil {
		return err
	}
	random := rand.New(rand.NewPCG(1, 2))
	id := func() string { return fmt.Sprintf("%016x", random.Uint64()) }
	for _, noun := range []struct {
		each int
		add  func(student string, i int) error
	}{
		{1, func(student string, i int) error {
			return l.Student(practice.Student{ID: student, Name: "Student " + student})
		}},
		{bigWeeks, func(student string, i int) error { return l.Week(bigWeek(student, i)) }},
		{bigAttempts, func(student string, i int) error {
			return l.Attempt(practice.Attempt{ID: id(), Student: student, At: at(int64(i) * 30), Session: "session", Drill: practice.OpenTry, Set: 1 + i%5,
				Rep: 1 + i%7, Entry: "kick", Passed: practice.Known(i%3 == 0), Seconds: practice.Known(float64(i%100) / 7), Timed: "app", End: "under"})
		}},
		{bigTallies, func(student string, i int) error {
			return l.Tally(practice.Tally{ID: id(), Student: student, At: at(int64(i) * 300), Drill: "wall-kick", Tries: 20, Caught: practice.Known(7)})
		}},
		{bigSessions, func(student string, i int) error {
			return l.Session(practice.Session{ID: id(), Student: student, At: at(int64(i) * 200), Minutes: practice.Known(40.0), Effort: practice.Known(6.0)})
		}},
		{bigNotes, func(student string, i int) error {
			return l.Note(practice.Note{ID: id(), Student: student, At: at(int64(i)), By: "ines", Kind: practice.PainNote, Text: strings.Repeat("sore ", 20)})
		}},
	} {
		for student := range bigStudents {
			for i := range noun.each {
				if err := noun.add(studentID(student), i); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func bigWeek(student string, i int) practice.Week {
	w := practice.Week{Student: student, ISOWeek: practice.ISOWeek{Year: 2026, Week: 1 + i}, Version: 1, Status: practice.HandedOver}
	block := practice.Block{Kind: practice.TriesBlock}
	for n := 0; n < weekBytes; n += 100 { // one item takes about 100 bytes
		block.Items = append(block.Items, practice.Item{ID: strconv.Itoa(n), Drill: "open-try", Sets: 3, Reps: 5, Minutes: 4.5, Cue: "Press the floor away."})
	}
	w.Sessions = []practice.PlannedSession{{Minutes: 40, Blocks: []practice.Block{block}}}
	return w
}
