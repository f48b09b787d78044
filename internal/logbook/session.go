package logbook

import "aplomb/internal/practice"

type sessionBody struct {
	Week        string   `json:"week"` // student/week/version
	Day         string   `json:"day"`
	Form        string   `json:"form"`
	Minutes     *float64 `json:"minutes"`
	Effort      *float64 `json:"effort"`
	PainSite    string   `json:"pain_site"`
	PainBefore  *float64 `json:"pain_before"`
	Pain        *float64 `json:"pain"`
	Numb        *bool    `json:"numb"`
	Swollen     *bool    `json:"swollen"`
	PainMorning *float64 `json:"pain_next_morning"`
	Note        string   `json:"note"`
}

type sessionRow struct{ practice.Session }

func (b *sessionBody) row(id, student string) (row, []practice.Fault) {
	var w words
	w.text("note", b.Note)
	week, version := w.week(b.Week, student)
	return &sessionRow{practice.Session{ID: id, Student: student, Week: week, Version: version, Day: w.weekday("day", b.Day),
		Form: word(&w, "form", practice.Forms, b.Form), Minutes: maybe(b.Minutes), Effort: maybe(b.Effort),
		PainSite: word(&w, "pain_site", practice.PainSites, b.PainSite), PainBefore: maybe(b.PainBefore), Pain: maybe(b.Pain),
		Numb: maybe(b.Numb), Swollen: maybe(b.Swollen), PainMorning: maybe(b.PainMorning), Note: b.Note}}, w.faults
}

func (r *sessionRow) check() []practice.Fault { return r.Check() }

func (r *sessionRow) drills() []named { return nil }

func (r *sessionRow) put(l *practice.Log, at practice.Instant) {
	r.At = at
	l.Sessions = append(l.Sessions, r.Session)
}

// leave leaves out what cannot be kept, and says why: a week that is not there
// any more, and where it hurts where nobody agreed to health notes or the key
// is not here.
func (r *sessionRow) leave(held *practice.Held) (left []practice.Fault) {
	week := practice.Week{Student: r.Student, Version: r.Version}
	if r.Week != "" {
		week.ISOWeek, _ = practice.ParseISOWeek(r.Week) // it was read from one
		if !held.Weeks[week.Key()] {
			left = append(left, practice.Fault{Code: practice.UnknownID, Field: "week", Value: week.Key()})
			r.Week, r.Version = "", 0
		}
	}
	if r.PainSite == "" {
		return left
	}
	switch agreed := agreedToHealth(held.Consents); {
	case !agreed:
		left = append(left, practice.Fault{Code: practice.NoConsent, Field: "pain_site"})
	case !held.Sealing:
		left = append(left, practice.Fault{Code: practice.NoKey, Field: "pain_site"})
	default:
		return left
	}
	r.PainSite = ""
	return left
}

func agreedToHealth(consents []practice.Consent) bool {
	for _, c := range consents {
		if c.For == practice.ForHealth && c.Holds() {
			return true
		}
	}
	return false
}
