package practice

import (
	"slices"
	"strconv"
	"strings"
)

// Student is one person on the way to a handstand.
type Student struct {
	ID           string        `json:"id"`
	Name         string        `json:"name"`
	Born         *Date         `json:"born,omitempty"`
	HeightM      float64       `json:"height_m,omitempty"` // metres, 0 unknown
	MassKg       float64       `json:"mass_kg,omitempty"`  // kilograms, 0 unknown
	Zone         Zone          `json:"time_zone,omitzero"`
	Goal         string        `json:"goal,omitempty"`
	GoalOn       *Date         `json:"goal_on,omitempty"`
	Background   string        `json:"background,omitempty"`
	LeadLeg      Side          `json:"lead_leg,omitempty"`
	ExitSide     Side          `json:"exit_side,omitempty"`
	Fear         *float64      `json:"tips_over_fear,omitempty"` // 0 to 10
	Kit          []Kit         `json:"kit,omitempty"`
	Slots        []Slot        `json:"sessions,omitempty"`
	MinutesOff   []Away        `json:"minutes_off,omitempty"`
	Stops        []Stop        `json:"stops,omitempty"`
	Restrictions []Restriction `json:"restrictions,omitempty"`
	Guardian     string        `json:"guardian,omitempty"`
	Group        string        `json:"group,omitempty"`
	Coach        string        `json:"coach,omitempty"`       // id of the person; empty: whoever coaches
	ArchivedOn   *Date         `json:"archived_on,omitempty"` // out of sight from this day, kept
}

// Slot is a time of the week a student can practise.
type Slot struct {
	Day     Weekday `json:"day"`
	Start   string  `json:"start,omitempty"` // 18:30, the student's local time
	Minutes int     `json:"minutes"`
	RidesOn string  `json:"rides_on,omitempty"` // what the student does anyway just before
}

// Away is a stretch of days, both ends inclusive, without practice.
type Away struct {
	From   Date   `json:"from"`
	To     Date   `json:"to"`
	Reason string `json:"reason,omitempty"`
}

// Stop rules out strains until the coach records that a clinician cleared it.
type Stop struct {
	No        []Strain `json:"no"`
	Since     Date     `json:"since"`
	ClearedOn *Date    `json:"cleared_on,omitempty"`
	ClearedBy string   `json:"cleared_by,omitempty"`
}

// In says whether the stop holds on the day.
func (s Stop) In(day Date) bool {
	return day >= s.Since && (s.ClearedOn == nil || day < *s.ClearedOn)
}

// Restriction rules out strains for a site of the body for a time.
type Restriction struct {
	Site  string   `json:"site,omitempty"` // empty: not told, or left out of an export
	No    []Strain `json:"no"`
	Since Date     `json:"since"`
	Until *Date    `json:"until,omitempty"` // the last day it holds
}

// In says whether the restriction holds on the day.
func (r Restriction) In(day Date) bool {
	return day >= r.Since && (r.Until == nil || day <= *r.Until)
}

// Barred is the strains no drill may have on any day of from to to, in the
// order of [Strains]: every stop and restriction that holds on one of them.
func (s Student) Barred(from, to Date) (no []Strain) {
	for _, strain := range Strains {
		for day := from; day <= to; day++ {
			if s.barredOn(strain, day) {
				no = append(no, strain)
				break
			}
		}
	}
	return no
}

func (s Student) barredOn(strain Strain, day Date) bool {
	for _, stop := range s.Stops {
		if stop.In(day) && slices.Contains(stop.No, strain) {
			return true
		}
	}
	for _, r := range s.Restrictions {
		if r.In(day) && slices.Contains(r.No, strain) {
			return true
		}
	}
	return false
}

// Minor says whether the student is under 18 on the day, and true where the
// date of birth is unknown but a guardian is named.
func (s Student) Minor(day Date) bool {
	if s.Born == nil {
		return s.Guardian != ""
	}
	return s.Born.Years(day) < 18
}

// AwayOn says whether the student is away on the day.
func (s Student) AwayOn(day Date) bool {
	return slices.ContainsFunc(s.MinutesOff, func(a Away) bool { return day >= a.From && day <= a.To })
}

// Check lists what is wrong with the student's own fields.
func (s Student) Check() (fs []Fault) {
	if !ValidID(s.ID) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(s.ID)})
	}
	if strings.TrimSpace(s.Name) == "" {
		fs = append(fs, Fault{Code: MissingField, Field: "name"})
	}
	if s.Group != "" && !ValidID(s.Group) {
		fs = append(fs, Fault{Code: BadID, Field: "group", Value: Short(s.Group)})
	}
	if s.Coach != "" && !ValidID(s.Coach) {
		fs = append(fs, Fault{Code: BadID, Field: "coach", Value: Short(s.Coach)})
	}
	within := func(field string, v, lo, hi float64, want string) {
		if v != 0 && !(v >= lo && v <= hi) {
			fs = append(fs, outOfRange(field, v, want))
		}
	}
	within("height_m", s.HeightM, 0.8, 2.5, "metres, 0.8 to 2.5")
	within("mass_kg", s.MassKg, 15, 250, "kilograms, 15 to 250")
	if s.Fear != nil && !(*s.Fear >= 0 && *s.Fear <= 10) {
		fs = append(fs, outOfRange("tips_over_fear", *s.Fear, "0 to 10"))
	}
	if s.Born != nil && *s.Born < DateOf(1900, 1, 1) {
		fs = append(fs, Fault{Code: OutOfRange, Field: "born", Value: s.Born.String(), Want: "a date from 1900-01-01"})
	}
	return append(append(fs, s.checkSlots()...), s.checkPeriods()...)
}

func (s Student) checkSlots() (fs []Fault) {
	minutes := map[Weekday]int{}
	for i, slot := range s.Slots {
		field := "sessions[" + strconv.Itoa(i) + "]"
		if slot.Minutes < 3 || slot.Minutes > 240 {
			fs = append(fs, outOfRange(field+".minutes", float64(slot.Minutes), "3 to 240 minutes"))
		}
		if slot.Start != "" && !validClock(slot.Start) {
			fs = append(fs, Fault{Code: OutOfRange, Field: field + ".start", Value: Short(slot.Start), Want: "a time such as 18:30"})
		}
		minutes[slot.Day]++
		if minutes[slot.Day] == 2 {
			fs = append(fs, Fault{Code: Contradiction, Field: field + ".day", Value: slot.Day.String(),
				Want: "one session a day: add its minutes to the other session of that day"})
		}
	}
	return fs
}

func (s Student) checkPeriods() (fs []Fault) {
	backwards := func(field string, from, to Date) {
		if to < from {
			fs = append(fs, Fault{Code: Contradiction, Field: field, Value: to.String(), Want: "a day on or after " + from.String()})
		}
	}
	for i, a := range s.MinutesOff {
		backwards("minutes_off["+strconv.Itoa(i)+"].to", a.From, a.To)
	}
	for i, st := range s.Stops {
		field := "stops[" + strconv.Itoa(i) + "]"
		if len(st.No) == 0 {
			fs = append(fs, Fault{Code: MissingField, Field: field + ".no", Want: joined(Strains)})
		}
		if st.ClearedOn != nil {
			backwards(field+".cleared_on", st.Since, *st.ClearedOn)
			if st.ClearedBy == "" {
				fs = append(fs, Fault{Code: MissingField, Field: field + ".cleared_by", Want: "who cleared it"})
			}
		}
	}
	for i, r := range s.Restrictions {
		field := "restrictions[" + strconv.Itoa(i) + "]"
		if _, err := Word(PainSites, r.Site); err != nil && r.Site != "" {
			fs = append(fs, FieldFault(field+".site", r.Site, UnknownWord, err))
		}
		if len(r.No) == 0 {
			fs = append(fs, Fault{Code: MissingField, Field: field + ".no", Want: joined(Strains)})
		}
		if r.Until != nil {
			backwards(field+".until", r.Since, *r.Until)
		}
	}
	return fs
}

func validClock(s string) bool {
	if len(s) != 5 || s[2] != ':' {
		return false
	}
	h, err1 := strconv.Atoi(s[:2])
	m, err2 := strconv.Atoi(s[3:])
	return err1 == nil && err2 == nil && h >= 0 && h < 24 && m >= 0 && m < 60
}
