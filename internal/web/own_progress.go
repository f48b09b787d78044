package web

import (
	"net/http"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// ownProgressPage is how it goes: what moved, in words, the student's own
// curve, and what the next milestone lacks.
type ownProgressPage struct {
	frame
	Since, Milestone []string
	Curve, Tries     shown
}

// ownNotesPage is what the coach wrote for the student: the cues of the days to
// come, and notes.
type ownNotesPage struct {
	frame
	Cues           []ownCue
	Notes, Private []written
}

type ownCue struct{ Drill, Text string }

func ownProgress(v *visit) error {
	p, err := v.ownProgress()
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "me_progress", p)
}

func (v *visit) ownProgress() (p ownProgressPage, err error) {
	if err := v.asStudent(); err != nil {
		return p, err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return p, err
	}
	look, err := v.Desk.Of(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return p, err
	}
	offered, err := v.Bench.Offered(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return p, err
	}
	r := &telling.Review{Student: kept.Value, Standing: look.Standing, Library: told(offered.Library, v.Words)}
	return ownProgressPage{frame: v.frame("own.progress.title"), Since: telling.Since(v.Words, &offered.Since), Curve: v.curve(r, look), Tries: v.tries(look),
		Milestone: append(telling.Proven(v.Words, r), telling.Forecast(v.Words, &look.Standing.Milestone)...)}, nil
}

func ownNotes(v *visit) error {
	p, err := v.ownNotes()
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "me_notes", p)
}

func (v *visit) ownNotes() (p ownNotesPage, err error) {
	if err := v.asStudent(); err != nil {
		return p, err
	}
	plan, err := v.plan()
	if err != nil {
		return p, err
	}
	p = ownNotesPage{frame: v.frame("own.notes.title"), Cues: cuesOf(plan)}
	notes, err := v.Roster.Notes(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return p, err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return p, err
	}
	for _, k := range slices.Backward(notes) {
		switch w := v.writtenNote(k.Value, names); {
		case !k.Value.Private():
			p.Notes = append(p.Notes, w)
		case k.Value.Text != "": // else it is sealed, and the key is not here
			p.Private = append(p.Private, w)
		}
	}
	return p, nil
}

// cuesOf are the cues of the days to come, each once.
func cuesOf(plan phonePlan) (out []ownCue) {
	for _, day := range plan.Days {
		for _, s := range day.Sessions {
			for _, b := range s.Blocks {
				for _, it := range b.Items {
					if one := (ownCue{it.Name, it.Cue}); it.Cue != "" && b.Kind != practice.StretchBlock && !slices.Contains(out, one) {
						out = append(out, one)
					}
				}
			}
		}
	}
	return out
}
