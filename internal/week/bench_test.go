package week

import (
	"fmt"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// BenchmarkProof proves generated problems one after the other and prints how
// much processor time each took, stopped after a second.
func BenchmarkProof(b *testing.B) {
	for _, c := range []struct {
		name string
		size size
	}{
		{"80 drills 2+2", typical},
		{"160 drills 3+4", large},
		{"80 drills 7+0", size{drills: 80, components: 8, long: 7, wishes: true}},
		{"80 drills 1+7", size{drills: 80, components: 8, long: 1, short: 7, wishes: true}},
		{"120 drills 15 components 3+3", size{drills: 120, components: 15, long: 3, short: 3, wishes: true}},
	} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			var took []time.Duration
			unproved := 0
			for i := range b.N {
				p := generate(uint64(i), c.size)
				start := cpuTime()
				s := solve(&p, nil, func() bool { return cpuTime()-start > time.Second })
				took = append(took, cpuTime()-start)
				if s.stopped {
					unproved++
				}
			}
			b.ReportMetric(float64(unproved), "unproved")
			slices.Sort(took)
			at := func(q float64) float64 { return took[int(q*float64(len(took)-1))].Seconds() * 1e3 }
			b.ReportMetric(at(.5), "median-ms")
			b.ReportMetric(at(.95), "p95-ms")
			b.ReportMetric(at(.99), "p99-ms")
			b.ReportMetric(at(1), "worst-ms")
		})
	}
}

// cpuTime is what this process has used of the processors.
func cpuTime() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		panic(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// BenchmarkStudents plans a studio of 1,000 students on two goroutines.
func BenchmarkStudents(b *testing.B) {
	var unproved atomic.Int64
	for range b.N {
		var wait sync.WaitGroup
		for half := range 2 {
			wait.Go(func() {
				for i := range 500 {
					p := generate(uint64(1000*half+i), typical)
					r, err := Solve(p, Options{Now: time.Now})
					if err != nil {
						b.Error(err)
					}
					if !r.Proved {
						unproved.Add(1)
					}
				}
			})
		}
		wait.Wait()
	}
	b.ReportMetric(float64(unproved.Load())/float64(b.N), "unproved")
}

// BenchmarkReasons explains one typical week: every chosen drill, and all or
// the five nearest of those left out.
func BenchmarkReasons(b *testing.B) {
	for _, nearest := range []int{0, 5} {
		b.Run(fmt.Sprintf("nearest %d", nearest), func(b *testing.B) {
			for i := range b.N {
				if _, err := Explain(generate(uint64(i), typical), nearest, Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
