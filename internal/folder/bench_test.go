package folder

import (
	"bytes"
	"fmt"
	"io"
	"iter"
	"os"
	"runtime"
	"runtime/metrics"
	"testing"
	"testing/fstest"

	"aplomb/internal/practice"
)

// manyAttempts is an attempts.csv of n rows of 1,000 students, every column
// filled but most notes.
func manyAttempts(n int) []byte {
	var b bytes.Buffer
	b.WriteString("id,student,at,session,drill,set,rep,entry,support,surface,place,passed,seconds,timed,end,cold,note\n")
	for i := range n {
		student, k := i/(n/1000), i%(n/1000)
		day, note := k/12, ""
		if i%20 == 0 {
			note = "pressed the fingers, late"
		}
		at := practice.DateOf(2025, 1, 6) + practice.Date(day)
		fmt.Fprintf(&b, "a%07d,student-%04d,%sT18:%02d:30+01:00,s%04d-%03d,open-try,%d,%d,kick,open,floor,hall,true,%d.%d,stopwatch,over,false,%q\n",
			i, student, at, k%60, student, day, 1+k%12/4, 1+k%4, 1+k%9, k%10, note)
	}
	return b.Bytes()
}

func heapMB() float64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return float64(m.HeapAlloc) / 1e6
}

// BenchmarkAttempts reads a million rows one by one, as `aplomb holds` does.
func BenchmarkAttempts(b *testing.B) {
	const n = 1_000_000
	data := manyAttempts(n)
	b.SetBytes(int64(len(data)))
	b.ReportAllocs()
	for b.Loop() {
		var faults practice.Faults
		rows := 0
		for range Attempts(bytes.NewReader(data), "attempts.csv", &faults) {
			rows++
		}
		if rows != n || len(faults) > 0 {
			b.Fatal(rows, faults)
		}
	}
	b.ReportMetric(n*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
}

// BenchmarkRead reads a studio of 1,000 students and a million attempts and
// prints what it takes to keep it, and what the reading took besides.
func BenchmarkRead(b *testing.B) {
	const n = 1_000_000
	var students bytes.Buffer
	for i := range 1000 {
		fmt.Fprintf(&students, "%s\n{\"id\": \"student-%04d\", \"name\": \"Student %d\"}", map[bool]string{true: "[", false: ","}[i == 0], i, i)
	}
	students.WriteString("]")
	fsys := fstest.MapFS{
		"studio.json":   &fstest.MapFile{Data: []byte(sample["studio.json"])},
		"students.json": &fstest.MapFile{Data: students.Bytes()},
		"attempts.csv":  &fstest.MapFile{Data: manyAttempts(n)},
	}
	before := heapMB()
	var kept float64
	for b.Loop() {
		s, faults, err := Read(fsys, base())
		if err != nil || len(faults) > 0 || len(s.Logs) != 1000 {
			b.Fatal(err, faults)
		}
		b.StopTimer()
		kept = heapMB() - before
		runtime.KeepAlive(s)
		b.StartTimer()
	}
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	b.ReportMetric(n*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
	b.ReportMetric(kept, "MB-kept")
	b.ReportMetric(float64(m.HeapSys)/1e6-before, "MB-heap-most")
}

// peak is the most that objects on the heap, dead ones included, took at the
// times it was looked at.
type peak struct{ bytes uint64 }

func (p *peak) look() {
	at := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(at)
	p.bytes = max(p.bytes, at[0].Value.Uint64())
}

// Of every student of the large studio.
const (
	largeStudents = 2000
	largeAttempts = 1000
	largeSessions = 150
	largeTallies  = 100
	largeRows     = largeStudents * (largeAttempts + largeSessions + largeTallies + 20)
)

// large is a studio of 2,000 students with 2,000,000 attempts, made up student
// by student.
type large struct{ *peak }

func (large) Head() (Head, error) {
	zone, err := practice.ParseZone("Europe/London")
	return Head{Studio: practice.Studio{ID: "large", Name: "Large", Zone: zone}}, err
}

func (l large) Records() iter.Seq2[Record, error] {
	return func(yield func(Record, error) bool) {
		for i := range largeStudents {
			l.look()
			if !yield(largeRecord(i), nil) {
				return
			}
		}
	}
}

func largeRecord(i int) Record {
	id := fmt.Sprintf("student-%04d", i)
	r := Record{Student: practice.Student{ID: id, Name: "Student " + id}}
	at := func(k int) practice.Instant {
		return practice.Instant{UnixNano: 1736182830e9 + int64(k)*3600e9, Offset: 60}
	}
	for k := range largeAttempts {
		r.Log.Attempts = append(r.Log.Attempts, practice.Attempt{ID: fmt.Sprintf("a-%04d-%06d", i, k), Student: id, At: at(k),
			Session: fmt.Sprintf("s-%04d-%04d", i, k*largeSessions/largeAttempts), Drill: "open-try", Set: 1 + k%12/4, Rep: 1 + k%4, Entry: "kick",
			Support: practice.Open, Place: "hall", Passed: practice.Known(true), Seconds: practice.Known(1 + float64(k%90)/10),
			Timed: "stopwatch", End: practice.Over})
	}
	for k := range largeSessions {
		r.Log.Sessions = append(r.Log.Sessions, practice.Session{ID: fmt.Sprintf("s-%04d-%04d", i, k), Student: id, At: at(k),
			Minutes: practice.Known(40.0), Effort: practice.Known(5.0), Pain: practice.Known(0.0)})
	}
	for k := range largeTallies {
		r.Log.Tallies = append(r.Log.Tallies, practice.Tally{ID: fmt.Sprintf("t-%04d-%04d", i, k), Student: id, At: at(k), Drill: "wall-line", Tries: 10})
	}
	for k := range 20 {
		r.Notes = append(r.Notes, practice.Note{ID: fmt.Sprintf("n-%04d-%04d", i, k), Student: id, At: at(k), By: "ines", Kind: practice.PlainNote,
			Text: "Pressed the fingers late, and knew it."})
	}
	return r
}

func (large) Trail() iter.Seq2[practice.Change, error] {
	return func(func(practice.Change, error) bool) {}
}

// counting counts what it is given and keeps none of it.
type counting struct {
	gather
	*peak
	rows int
}

func (c *counting) count() error {
	if c.rows++; c.rows%10_000 == 0 {
		c.look()
	}
	return nil
}

func (c *counting) Student(practice.Student) error { return nil }
func (c *counting) Attempt(practice.Attempt) error { return c.count() }
func (c *counting) Tally(practice.Tally) error     { return c.count() }
func (c *counting) Session(practice.Session) error { return c.count() }
func (c *counting) Note(practice.Note) error       { return c.count() }

// BenchmarkWrite writes the large studio while it is being made up.
func BenchmarkWrite(b *testing.B) {
	dir, most := b.TempDir(), &peak{}
	for b.Loop() {
		if err := Write(dir, large{most}); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(largeRows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
	b.ReportMetric(float64(most.bytes)/1e6, "MB-heap-most")
}

// BenchmarkScan scans the large studio into a sink that counts.
func BenchmarkScan(b *testing.B) {
	dir, most := b.TempDir(), &peak{}
	if err := Write(dir, large{&peak{}}); err != nil {
		b.Fatal(err)
	}
	runtime.GC()
	for b.Loop() {
		sink := &counting{gather: gather{&Studio{}}, peak: most}
		faults, err := Scan(os.DirFS(dir), base(), sink)
		if err != nil || len(faults) > 0 || sink.rows != largeRows {
			b.Fatal(err, faults, sink.rows)
		}
	}
	b.ReportMetric(largeRows*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
	b.ReportMetric(float64(most.bytes)/1e6, "MB-heap-most")
}

// BenchmarkLongLine meets a line of 100 MB.
func BenchmarkLongLine(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		head := bytes.NewReader([]byte("id,student,at,drill,note\n"))
		var faults practice.Faults
		for range Attempts(io.MultiReader(head, io.LimitReader(xs{}, 100<<20)), "attempts.csv", &faults) {
			b.Fatal("a row")
		}
		if len(faults) != 1 || faults[0].Code != practice.LineTooLong || faults[0].Line != 2 {
			b.Fatal(faults)
		}
	}
}

// xs is an endless line.
type xs struct{}

func (xs) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'x'
	}
	return len(p), nil
}
