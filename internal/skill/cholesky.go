package skill

import "math"

// cholesky replaces the lower triangle of an n by n covariance, row by row, by
// its lower triangular root. A direction without variance (rounding included)
// gets a zero column. The upper triangle is left as it was.
func cholesky(a []float64, n int) {
	for j := range n {
		d := a[j*n+j]
		for k := range j {
			d -= a[j*n+k] * a[j*n+k]
		}
		if d <= 1e-14*math.Abs(a[j*n+j]) {
			d = 0
		}
		root := math.Sqrt(d)
		a[j*n+j] = root
		for i := j + 1; i < n; i++ {
			s := a[i*n+j]
			for k := range j {
				s -= a[i*n+k] * a[j*n+k]
			}
			a[i*n+j] = 0
			if root > 0 {
				a[i*n+j] = s / root
			}
		}
	}
}
