// Package numtest helps the tests of the numeric packages: comparisons in
// absolute and relative terms, finite differences, and reference files.
package numtest

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// Close fails the test unless got and want agree within tol, absolutely where
// |want| <= 1 and relatively above. Two NaN agree, as do equal infinities.
func Close(t testing.TB, what string, got, want, tol float64) {
	t.Helper()
	if math.IsNaN(got) && math.IsNaN(want) || got == want {
		return
	}
	if d := math.Abs(got-want) / math.Max(1, math.Abs(want)); !(d <= tol) {
		t.Errorf("%s: got %.15g, want %.15g (off by %.3g, allowed %.3g)", what, got, want, d, tol)
	}
}

// CloseAll compares two vectors element by element as [Close] does.
func CloseAll(t testing.TB, what string, got, want []float64, tol float64) {
	t.Helper()
	if len(got) != len(want) {
		t.Errorf("%s: got %d values, want %d", what, len(got), len(want))
		return
	}
	for i := range got {
		Close(t, what+"["+strconv.Itoa(i)+"]", got[i], want[i], tol)
	}
}

// Derivative is the central difference (f(x+h) - f(x-h)) / 2h with a step of
// 1e-5 times the scale of x: good to about nine digits for smooth f.
func Derivative(f func(float64) float64, x float64) float64 {
	h := 1e-5 * math.Max(1, math.Abs(x))
	return (f(x+h) - f(x-h)) / (2 * h)
}

// Second is the central second difference of f at x with a step of 1e-4 times
// the scale of x: good to about six digits for smooth f.
func Second(f func(float64) float64, x float64) float64 {
	h := 1e-4 * math.Max(1, math.Abs(x))
	return (f(x+h) - 2*f(x) + f(x-h)) / (h * h)
}

// JSON decodes the file testdata/name of the calling package into a T.
func JSON[T any](t testing.TB, name string) T {
	t.Helper()
	var v T
	raw, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return v
}

// CSV reads the file testdata/name of the calling package: one map a row, by
// column name. Lines starting with # are comments (the source line goes there).
func CSV(t testing.TB, name string) []map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	if len(rows) < 2 {
		t.Fatalf("%s: no rows", name)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := make(map[string]string, len(row))
		for i, v := range row {
			m[strings.TrimSpace(rows[0][i])] = v
		}
		out = append(out, m)
	}
	return out
}

// Number parses one cell of a reference file.
func Number(t testing.TB, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatalf("not a number: %q", s)
	}
	return v
}
