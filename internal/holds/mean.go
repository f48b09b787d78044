package holds

import "math"

// Mean is a restricted mean: of the seconds held, with longer holds counted as
// Upto.
type Mean struct {
	Upto     float64
	Seconds  float64
	StdErr   float64
	N        int
	Falls    int
	Censored int
}

// RestrictedMean is the area under the curve up to a horizon in seconds, with
// the standard error of R's survmean (Greenwood terms; the last one dropped where
// everyone at risk falls). It estimates E[min(T, upto)]. ErrNotFollowed where the
// horizon lies beyond the longest hold and the curve has not reached 0; R would
// carry the last value on.
func (c *Curve) RestrictedMean(upto float64) (Mean, error) {
	checkSeconds("horizon", upto)
	if _, err := c.Before(upto); err != nil {
		return Mean{}, err
	}
	m := Mean{Upto: upto, N: c.N, Falls: c.Falls, Censored: c.Censored}
	from, variance := upto, 0.0
	for i := len(c.Points) - 1; i >= 0; i-- {
		p := &c.Points[i]
		if p.Seconds > upto {
			continue
		}
		m.Seconds += p.Survival * (from - p.Seconds)
		from = p.Seconds
		if left := p.AtRisk - p.Falls; left > 0 {
			variance += m.Seconds * m.Seconds * float64(p.Falls) / (float64(p.AtRisk) * float64(left))
		}
	}
	m.Seconds += from
	m.StdErr = math.Sqrt(variance)
	return m, nil
}
