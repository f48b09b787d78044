package skill

import (
	"testing"

	"aplomb/internal/numtest"
)

// The root of a covariance of rank two in three dimensions gives it back.
func TestCholeskyOfASingularCovariance(t *testing.T) {
	p := []float64{4, 2, 2, 2, 5, 5, 2, 5, 5}
	root := append([]float64(nil), p...)
	cholesky(root, 3)
	for i := range 3 {
		for j := range i + 1 {
			var sum float64
			for k := range j + 1 {
				sum += root[i*3+k] * root[j*3+k]
			}
			numtest.Close(t, "root times root", sum, p[i*3+j], 1e-14)
		}
	}
	numtest.Close(t, "the direction without variance", root[8], 0, 0)
}
