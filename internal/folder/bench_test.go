package folder

import (
	"bytes"
	"fmt"
	"io"
	"runtime"
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

// BenchmarkWrite writes the same attempts.
func BenchmarkWrite(b *testing.B) {
	const n = 1_000_000
	s := &Studio{Logs: map[string]*practice.Log{"x": {}}, Students: []practice.Student{{ID: "x"}}}
	var faults practice.Faults
	for a := range Attempts(bytes.NewReader(manyAttempts(n)), "", &faults) {
		s.Logs["x"].Attempts = append(s.Logs["x"].Attempts, a)
	}
	dir := b.TempDir()
	for b.Loop() {
		if err := Write(dir, s); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(n*float64(b.N)/b.Elapsed().Seconds(), "rows/s")
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
