package learner

import "math"

// FloorTest is how a level shows on a floor test: as passes out of Tries, or,
// where Tries is 0, as a reading Mid + Scale times the level, with error, in the
// unit of the test. A result shows no less than Min and no more than Max.
type FloorTest struct {
	Tries    int
	Mid      float64 // of passes: the difficulty in logits; of a reading: what 0 logits show
	Scale    float64 // units a logit; negative where less is better
	Noise    float64 // error of a reading, in errors of a usual test (TestSD of Params)
	Min, Max float64 // of a reading
}

// Result is what a warm and rested student shows on a floor test of a component.
func (s *Student) Result(c Component, f FloorTest) float64 {
	if f.Tries > 0 {
		passed := 0
		for range f.Tries {
			if s.Test(c, f.Mid) {
				passed++
			}
		}
		return float64(passed)
	}
	check(f.Scale != 0 && f.Noise >= 0 && f.Min < f.Max, "a reading has a scale, an error and limits")
	return math.Max(f.Min, math.Min(f.Max, f.Mid+f.Scale*s.reading(c, f.Noise)))
}

// Test is one rep of a floor test that counts passes, at a difficulty in logits.
func (s *Student) Test(c Component, difficulty float64) bool {
	return s.rng.Float64() < sigmoid(s.Level(c)-difficulty)
}

// Measured is the reading of a usual floor test, in logits.
func (s *Student) Measured(c Component) float64 { return s.reading(c, 1) }

func (s *Student) reading(c Component, noise float64) float64 {
	return s.Level(c) + noise*s.p.TestSD*s.rng.NormFloat64()
}
