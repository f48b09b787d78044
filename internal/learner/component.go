package learner

// Component is what a simulated handstand is made of.
type Component int

// The components: skills, which are learnt rep by rep, then capacities, which
// grow with doses and rest.
const (
	Entry Component = iota
	Exit
	Confidence
	Line
	Tension
	Balance
	Shoulders // how far they open overhead
	Wrists
	Endurance // of the raised shoulders

	// N is how many components there are.
	N = 9

	skills = Shoulders // the components before this one are skills
)

var names = [N]string{"entry", "exit", "confidence", "line", "tension", "balance", "shoulders", "wrists", "endurance"}

func (c Component) String() string { return names[c] }

// Named finds a component by its name.
func Named(name string) (Component, bool) {
	for i, n := range names {
		if n == name {
			return Component(i), true
		}
	}
	return 0, false
}

// Where students stand on average before any practice, in logits, and how much
// each component counts in catching (before confidence takes its share) and in
// holding; shares sum to 1. All are assumptions.
var (
	startMeans  = [N]float64{Entry: -.5, Exit: -.2, Confidence: -.4, Line: -.8, Tension: -.3, Balance: -1.2, Shoulders: .6, Wrists: .4, Endurance: .2}
	catchShares = [N]float64{Entry: .40, Exit: .10, Line: .20, Tension: .05, Balance: .15, Shoulders: .05, Wrists: .05}
	holdShares  = [N]float64{Exit: .05, Line: .20, Tension: .15, Balance: .40, Shoulders: .10, Wrists: .05, Endurance: .05}
)
