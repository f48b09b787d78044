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
	last := 0.0
	for i, m := range s.MilestonesS {
		if !(m > last) || m > 3600 {
			fs = append(fs, outOfRange("milestones_s["+strconv.Itoa(i)+"]", m, "seconds, each longer than the one before, up to 3600"))
		}
		last = m
	}
	return fs
}
