package practice

import (
	"strconv"
	"strings"
)

// Studio is one coaching business.
type Studio struct {
	Format      int       `json:"format"`
	ID          string    `json:"id"`
	Name        string    `json:"name"`
	Zone        Zone      `json:"time_zone"`
	MilestonesS []float64 `json:"milestones_s,omitempty"` // seconds, rising
	// Shares lets every coach see and coach every student of the studio.
	Shares bool `json:"coaches_share,omitempty"`
	// ConsentAge is the age from which a student consents alone; 0 is 16, the
	// age of the General Data Protection Regulation, article 8, where no law
	// of the land sets another.
	ConsentAge int `json:"consent_age,omitempty"`
}

// DefaultMilestonesS are the milestones of a studio that names none, in seconds.
var DefaultMilestonesS = []float64{1, 3, 5, 10, 15, 30, 60}

// Check lists what is wrong with the studio's own fields.
func (s Studio) Check() (fs []Fault) {
	if !ValidID(s.ID) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(s.ID)})
	}
	if strings.TrimSpace(s.Name) == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "name"})
	}
	if s.ConsentAge != 0 && (s.ConsentAge < 13 || s.ConsentAge > 18) {
		fs = append(fs, outOfRange("consent_age", float64(s.ConsentAge), "13 to 18 years"))
	}
	last := 0.0
	for i, m := range s.MilestonesS {
		if !(m > last) || m > 3600 {
			fs = append(fs, outOfRange("milestones_s["+strconv.Itoa(i)+"]", m, "seconds, each longer than the one before, up to 3600"))
		}
		last = m
	}
	return fs
}

// DefaultConsentAge is the age of consent of a studio that names none, in
// years: Regulation (EU) 2016/679, article 8(1).
const DefaultConsentAge = 16

// Consents says whether the student consents alone on the day, or a guardian
// has to. A student whose age is unknown counts as of age, but for one who has
// a guardian.
func (s Studio) Consents(student Student, day Date) bool {
	age := s.ConsentAge
	if age == 0 {
		age = DefaultConsentAge
	}
	if student.Born == nil {
		return student.Guardian == ""
	}
	return student.Born.Years(day) >= age
}
