package web

import (
	"net/http"

	"aplomb/internal/practice"
)

// homePage lists the students an assistant meets in classes, with what they may
// not do.
type homePage struct {
	frame
	Students []listed
}

type listed struct{ Name, Not string }

func home(v *visit) error {
	if !v.in.Staff() {
		return v.see("/me")
	}
	if v.who().Role != practice.Assistant {
		return deskOf(v)
	}
	students, err := v.pupils()
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "home", homePage{frame: v.frame("home.title"), Students: students})
}

func (v *visit) pupils() ([]listed, error) {
	pupils, err := v.Roster.Pupils(v.ctx(), v.who())
	if err != nil {
		return nil, err
	}
	var out []listed
	for _, p := range pupils {
		not := make([]string, len(p.No))
		for i, strain := range p.No {
			not[i] = v.Words.Say("strain." + string(strain))
		}
		out = append(out, listed{p.Name, v.Words.List(not)})
	}
	return out, nil
}
