package cli

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"
)

// writeStudio writes an invented studio of n students with about tries rows
// each: kicks, wall work, sessions and floor tests over 20 weeks to 2026-03-29.
func writeStudio(tb testing.TB, n, tries int) string {
	tb.Helper()
	dir := tb.TempDir()
	rng := rand.New(rand.NewPCG(1, uint64(n)))
	var students, attempts, sessions, probes strings.Builder
	attempts.WriteString("id,student,at,session,drill,set,rep,entry,support,surface,place,passed,seconds,timed,end,cold,note\n")
	sessions.WriteString("id,student,at,week,minutes,effort,pain_site,pain_before,pain,pain_next_morning,note\n")
	probes.WriteString("id,student,at,component,test,value,unit,by\n")
	students.WriteString("[")
	for s := range n {
		if s > 0 {
			students.WriteString(",")
		}
		fmt.Fprintf(&students, `{"id":"s%04d","name":"Student %d","kit":["wall","mat"],"sessions":[{"day":"mon","minutes":60},{"day":"wed","minutes":15},{"day":"thu","minutes":50},{"day":"sat","minutes":15}]}`+"\n", s, s)
		writeLog(&attempts, &sessions, &probes, rng, s, tries)
	}
	students.WriteString("]")
	for name, text := range map[string]string{
		"studio.json":   `{"format":1,"id":"bench","name":"Bench","time_zone":"Europe/London"}`,
		"students.json": students.String(), "attempts.csv": attempts.String(),
		"sessions.csv": sessions.String(), "probes.csv": probes.String(),
	} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644); err != nil {
			tb.Fatal(err)
		}
	}
	return dir
}

func writeLog(attempts, sessions, probes io.Writer, rng *rand.Rand, s, tries int) {
	start := time.Date(2025, 11, 10, 18, 0, 0, 0, time.UTC)
	skill := rng.NormFloat64()
	days := 60
	for day := range days {
		at := start.AddDate(0, 0, day*140/days)
		if day == 0 {
			fmt.Fprintf(probes, "p%d-1,s%04d,%s,exit,exit-both-sides,9,of 10,x\n", s, s, at.Format(time.RFC3339))
			fmt.Fprintf(probes, "p%d-2,s%04d,%s,endurance,endurance-wall,%d,seconds,x\n", s, s, at.Format(time.RFC3339), 25+rng.IntN(30))
			fmt.Fprintf(probes, "p%d-3,s%04d,%s,shoulders,shoulder-overhead,%d,degrees,x\n", s, s, at.Format(time.RFC3339), 155+rng.IntN(25))
		}
		for k := range max(1, tries/days) {
			drill, passed, seconds, end := oneTry(rng, k, skill+float64(day)/30)
			fmt.Fprintf(attempts, "a%d-%d-%d,s%04d,%s,,%s,1,%d,kick,,,hall,%t,%s,counted,%s,,\n", s, day, k, s,
				at.Add(time.Duration(k)*time.Minute).Format(time.RFC3339), drill, k+1, passed, seconds, end)
		}
		fmt.Fprintf(sessions, "x%d-%d,s%04d,%s,,45,%d,,0,%d,0,\n", s, day, s, at.Add(time.Hour).Format(time.RFC3339), 3+rng.IntN(5), rng.IntN(2))
	}
}

func oneTry(rng *rand.Rand, k int, skill float64) (drill string, passed bool, seconds, end string) {
	p := 1 / (1 + math.Exp(-skill))
	if k >= 3 {
		return []string{"kick-wall", "heel-float", "wall-turn-out", "chest-wall-line"}[k%4], rng.Float64() < p, "", ""
	}
	if passed = rng.Float64() < p; !passed {
		return "open-try", false, "0.5", "under"
	}
	held := 1 + math.Exp(skill/2+0.7*rng.NormFloat64())
	return "open-try", true, fmt.Sprintf("%.1f", held), []string{"over", "under", "lowered"}[rng.IntN(3)]
}

// BenchmarkReview1000 reviews 1,000 students with 200,000 tries, every core,
// reading the folder included. Run it once: -benchtime 1x.
func BenchmarkReview1000(b *testing.B) {
	dir := writeStudio(b, 1000, 200)
	for b.Loop() {
		var out, talk bytes.Buffer
		peak := watchHeap()
		start := time.Now()
		code := Run(&Env{Args: []string{"review", dir, "--as-of", "2026-03-29", "--json"}, Stdout: &out, Stderr: &talk, Now: time.Now})
		if code != 0 {
			b.Fatalf("exit status %d: %s", code, talk.String())
		}
		b.ReportMetric(time.Since(start).Seconds(), "s/review")
		b.ReportMetric(peak(), "MB-heap-peak")
		b.ReportMetric(float64(out.Len())/1e6, "MB-json")
	}
}

// watchHeap samples the heap in use until the returned function is called,
// which gives the largest value seen, in megabytes.
func watchHeap() func() float64 {
	stop, done := make(chan struct{}), make(chan float64)
	go func() {
		peak := uint64(0)
		var m runtime.MemStats
		for {
			runtime.ReadMemStats(&m)
			peak = max(peak, m.HeapInuse)
			select {
			case <-stop:
				done <- float64(peak) / 1e6
				return
			case <-time.After(50 * time.Millisecond):
			}
		}
	}()
	return func() float64 { close(stop); return <-done }
}
