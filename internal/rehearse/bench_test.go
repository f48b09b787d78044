package rehearse

import (
	"runtime"
	"testing"
)

// BenchmarkStudentWeeks is whole courses under the planner, with an estimate
// and a plan every week, on all cores.
func BenchmarkStudentWeeks(b *testing.B) {
	for _, name := range []string{"planner", "timetable"} {
		b.Run(name, func(b *testing.B) {
			s := small(b, 4*runtime.GOMAXPROCS(0), 52, 1, name)
			for b.Loop() {
				if _, err := s.Run(workers(runtime.GOMAXPROCS(0), false), nothing); err != nil {
					b.Fatal(err)
				}
			}
			each := b.Elapsed().Seconds() / float64(b.N*s.Students*s.Weeks)
			b.ReportMetric(1000*each, "ms/student-week")
			b.ReportMetric(10000*each, "s/10000-student-weeks")
		})
	}
}
