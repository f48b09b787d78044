package holds

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"aplomb/internal/numtest"
)

// students draws holds of many students; step rounds the seconds, 0 does not.
func students(n, each int, step float64) [][]Hold {
	rng := rand.New(rand.NewPCG(1, 9))
	groups := make([][]Hold, n)
	for i := range groups {
		eta := 1 + rng.NormFloat64()/2
		for range each {
			hold, lowered := 1+logLogisticDraw(rng, eta, .7), 1+10*rng.ExpFloat64()
			h := Hold{Seconds: math.Min(hold, lowered), Fell: hold <= lowered}
			if step > 0 {
				h.Seconds = math.Round(h.Seconds/step) * step
			}
			groups[i] = append(groups[i], h)
		}
	}
	return groups
}

// Curves with intervals of 1,000 students over 1,000,000 tries, on one core: the
// code has no concurrency.
func BenchmarkCurves(b *testing.B) {
	for name, step := range map[string]float64{"tenths": .1, "unrounded": 0} {
		groups := students(1000, 1000, step)
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Curves(groups, Log, .95)
			}
			b.ReportMetric(float64(b.N)*1e6/b.Elapsed().Seconds(), "tries/s")
		})
	}
}

func BenchmarkFit(b *testing.B) {
	tries := Tries{Attempts: 1000, Caught: 1000, Holds: students(1, 1000, .1)[0]}
	for b.Loop() {
		if _, err := Fit(tries); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkLogRank(b *testing.B) {
	groups := students(12, 1000, .1)
	for b.Loop() {
		if _, err := LogRank(groups, 0); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkAgainstR prints both times and their ratio for such data, on which
// both must find the same curves. It takes minutes and needs R with the package survival, so it
// runs only when asked: APLOMB_R=1 go test -run '^$' -bench AgainstR ./internal/holds/
func BenchmarkAgainstR(b *testing.B) {
	rscript, err := exec.LookPath("Rscript")
	if os.Getenv("APLOMB_R") == "" || err != nil {
		b.Skip("set APLOMB_R=1 and have Rscript on the path")
	}
	for name, step := range map[string]float64{"tenths": .1, "hundredths": .01} {
		groups := students(1000, 1000, step)
		b.Run(name, func(b *testing.B) {
			var curves []Curve
			best := math.Inf(1)
			for range 5 {
				start := time.Now()
				curves = Curves(groups, Log, .95)
				best = math.Min(best, time.Since(start).Seconds())
			}
			theirs := runPeer(b, rscript, groups, curves)
			b.ReportMetric(best, "s-ours")
			b.ReportMetric(theirs, "s-R")
			b.ReportMetric(theirs/best, "times-as-fast")
			b.ReportMetric(0, "ns/op")
		})
	}
}

// runPeer times R on the same data and checks that it found the same curves.
func runPeer(b *testing.B, rscript string, groups [][]Hold, curves []Curve) float64 {
	b.Helper()
	var seconds, falls, group bytes.Buffer
	n := int32(0)
	write := func(w *bytes.Buffer, v any) { _ = binary.Write(w, binary.LittleEndian, v) } // a Buffer does not fail
	for g, holds := range groups {
		for _, h := range holds {
			write(&seconds, h.Seconds)
			write(&falls, int32(count(h.Fell)))
			write(&group, int32(g))
			n++
		}
	}
	var head bytes.Buffer
	write(&head, n)
	file := filepath.Join(b.TempDir(), "holds.bin")
	if err := os.WriteFile(file, bytes.Join([][]byte{head.Bytes(), seconds.Bytes(), falls.Bytes(), group.Bytes()}, nil), 0o600); err != nil {
		b.Fatal(err)
	}
	out, err := exec.Command(rscript, filepath.Join("testdata", "peer.R"), file).CombinedOutput()
	if err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	var took, survival, bounds, wantSurvival, wantBounds float64
	var points, wantPoints int
	if _, err := fmt.Sscan(string(out), &took, &wantPoints, &wantSurvival, &wantBounds); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	for _, c := range curves {
		points += len(c.Points)
		for _, p := range c.Points {
			survival += p.Survival
			if !math.IsNaN(p.Lo) {
				bounds += p.Lo + p.Hi
			}
		}
	}
	if points != wantPoints {
		b.Errorf("%d points, R has %d", points, wantPoints)
	}
	numtest.Close(b, "sum of survival", survival, wantSurvival, 1e-9)
	numtest.Close(b, "sum of bounds", bounds, wantBounds, 1e-9)
	return took
}
