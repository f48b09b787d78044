package skill

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// climb goes to the mode, keeps the covariance there and gives the log evidence,
// up to a constant. Newton's method; where the posterior is not concave (a student
// who lacks something may lack one thing or another) the curvature is raised until
// it is, which keeps every step uphill (Levenberg 1944, Quart Appl Math 2:164).
func (f *thresholds) climb() (float64, error) {
	for range 500 {
		gradient, curvature := f.slopes()
		root, raised := raisedRoot(curvature)
		var move mat.VecDense
		mustSolve(root.SolveVecTo(&move, mat.NewVecDense(len(gradient), gradient)))
		if !raised && mat.Norm(&move, math.Inf(1)) < 1e-8 {
			f.cov = mat.NewSymDense(len(f.ask), nil)
			mustSolve(root.InverseTo(f.cov))
			return f.value(f.ask) - root.LogDet()/2, nil
		}
		f.move(move.RawVector().Data)
	}
	return 0, ErrNoFit
}

// raisedRoot factorises a curvature, with as much added to its diagonal as it
// takes.
func raisedRoot(of *mat.SymDense) (root mat.Cholesky, raised bool) {
	for add := 1. / 8; !root.Factorize(of); add *= 2 {
		raised = true
		for i := range of.SymmetricDim() {
			of.SetSym(i, i, of.At(i, i)+add)
		}
	}
	return root, raised
}

// move steps, halving while the posterior falls.
func (f *thresholds) move(by []float64) {
	from := f.value(f.ask)
	next := make([]float64, len(f.ask))
	for scale := 1.; scale > 1e-9; scale /= 2 {
		copy(next, f.ask)
		addScaled(next, scale, by)
		if f.value(next) >= from-1e-12*math.Abs(from) {
			break
		}
	}
	f.ask = next
}
