package practice

// DrillText is what a person reads of a drill, in one language.
type DrillText struct {
	Name      string            `json:"name"`
	Purpose   string            `json:"purpose"` // one line
	Setup     string            `json:"setup,omitempty"`
	Steps     []string          `json:"steps,omitempty"`
	Cues      map[string]string `json:"cues,omitempty"` // by the id of the cue
	Errors    []Slip            `json:"errors,omitempty"`
	Out       string            `json:"out,omitempty"` // how to come out safely
	Criterion string            `json:"criterion,omitempty"`
	NotFor    string            `json:"not_for,omitempty"` // who should not do it
	Spot      string            `json:"spot,omitempty"`    // what a spotter does, where one is needed
	Figure    string            `json:"figure,omitempty"`  // what the drawing shows
}

// Slip is a common error and what to change.
type Slip struct {
	Error  string `json:"error"`
	Change string `json:"change"`
}

// ProbeText is what a person reads of a floor test, in one language.
type ProbeText struct {
	Name   string `json:"name"`
	Setup  string `json:"setup,omitempty"`
	Counts string `json:"counts,omitempty"` // what counts
	Norm   string `json:"norm,omitempty"`
}

// Told is the drill with the texts of t where it has some; cues by their ids.
func (d Drill) Told(t DrillText) Drill {
	set := func(field *string, text string) {
		if text != "" {
			*field = text
		}
	}
	set(&d.Name, t.Name)
	set(&d.Purpose, t.Purpose)
	set(&d.Setup, t.Setup)
	set(&d.Out, t.Out)
	set(&d.Criterion, t.Criterion)
	set(&d.NotFor, t.NotFor)
	set(&d.Spot, t.Spot)
	if len(t.Steps) > 0 {
		d.Steps = t.Steps
	}
	if len(t.Errors) > 0 {
		d.Errors = t.Errors
	}
	if d.Figure != nil && t.Figure != "" {
		figure := *d.Figure
		figure.Alt = t.Figure
		d.Figure = &figure
	}
	cues := make([]Cue, len(d.Cues))
	for i, c := range d.Cues {
		set(&c.Text, t.Cues[c.ID])
		cues[i] = c
	}
	d.Cues = cues
	return d
}

// Told is the floor test with the texts of t where it has some.
func (p Probe) Told(t ProbeText) Probe {
	for _, f := range []struct {
		field *string
		text  string
	}{{&p.Name, t.Name}, {&p.Setup, t.Setup}, {&p.Counts, t.Counts}, {&p.Norm, t.Norm}} {
		if f.text != "" {
			*f.field = f.text
		}
	}
	return p
}
