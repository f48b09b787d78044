package practice

// TroubleText is what a person reads of a trouble, in one language.
type TroubleText struct {
	Look  string `json:"look"`
	Check string `json:"check"`
	Cue   string `json:"cue,omitempty"` // where it is not the cue of a drill
}

// LessonText is what a person reads of a lesson, in one language.
type LessonText struct {
	Name  string              `json:"name"`
	For   string              `json:"for"`
	Steps map[string]StepText `json:"steps"` // by the id of the step
}

// StepText is what a person reads of a step of a lesson.
type StepText struct {
	Head string `json:"head"`
	Text string `json:"text"`
}

// SmallerText is what a person reads of a smaller version or the stop rule.
type SmallerText struct {
	Name string `json:"name"`
	When string `json:"when"`
	Do   string `json:"do"`
}

// LadderText is what a person reads of a ladder, in one language.
type LadderText struct {
	Name  string              `json:"name"`
	For   string              `json:"for"`
	Rungs map[string]RungText `json:"rungs"` // by the id of the rung
}

// RungText is what a person reads of a rung.
type RungText struct {
	Name   string `json:"name"`
	Setup  string `json:"setup"`
	Counts string `json:"counts"`
}

// AdviceText is the advice of a library in one language, by id. What it lacks
// is empty.
type AdviceText struct {
	Troubles map[string]TroubleText
	Lessons  map[string]LessonText
	Smaller  map[string]SmallerText
	Ladders  map[string]LadderText
}

// StopID is the id of the stop rule among the texts of smaller versions.
const StopID = "stop"

// Told is the advice with the texts of t where it has some; cues of drills are
// as lib tells them. The advice it is told from stays as it is.
func (a Advice) Told(t AdviceText, lib *Library) Advice {
	told := a
	told.Troubles = each(a.Troubles, func(row *Trouble) { row.tell(t.Troubles[row.ID], lib) })
	told.Lessons = each(a.Lessons, func(l *Lesson) { l.tell(t.Lessons[l.ID]) })
	told.Smaller = each(a.Smaller, func(s *Smaller) {
		text := t.Smaller[s.ID]
		set(&s.Name, text.Name)
		set(&s.When, text.When)
		set(&s.Do, text.Do)
	})
	stop := t.Smaller[StopID]
	set(&told.Stop.Name, stop.Name)
	set(&told.Stop.When, stop.When)
	set(&told.Stop.Do, stop.Do)
	told.Ladders = each(a.Ladders, func(l *Ladder) { l.tell(t.Ladders[l.ID]) })
	return told
}

func (row *Trouble) tell(t TroubleText, lib *Library) {
	set(&row.Look, t.Look)
	set(&row.Check, t.Check)
	set(&row.Cue.Text, t.Cue)
	d, _ := lib.Drill(row.Cue.Drill)
	for _, c := range d.Cues {
		if c.ID == row.Cue.ID {
			row.Cue.Text = c.Text
		}
	}
}

func (l *Lesson) tell(t LessonText) {
	set(&l.Name, t.Name)
	set(&l.For, t.For)
	l.Steps = each(l.Steps, func(s *LessonStep) {
		set(&s.Head, t.Steps[s.ID].Head)
		set(&s.Text, t.Steps[s.ID].Text)
	})
}

func (l *Ladder) tell(t LadderText) {
	set(&l.Name, t.Name)
	set(&l.For, t.For)
	l.Rungs = each(l.Rungs, func(r *Rung) {
		set(&r.Name, t.Rungs[r.ID].Name)
		set(&r.Setup, t.Rungs[r.ID].Setup)
		set(&r.Counts, t.Rungs[r.ID].Counts)
	})
}

// each is a copy of the list with do done to every element.
func each[T any](list []T, do func(*T)) []T {
	out := make([]T, len(list))
	for i, v := range list {
		do(&v)
		out[i] = v
	}
	return out
}

// set puts text into the field where there is some.
func set(field *string, text string) {
	if text != "" {
		*field = text
	}
}
