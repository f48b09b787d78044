package practice

import (
	"slices"
	"strings"
)

// Role is what a person is in a studio.
type Role string

// Roles of people who sign in, of those who come by a link of their own, and of
// the program itself on the machine it runs on.
const (
	Owner       Role = "owner"
	Coach       Role = "coach"
	Assistant   Role = "assistant"
	AsStudent   Role = "student"
	AsGuardian  Role = "guardian"
	AtTheDesk   Role = "machine" // a command on the machine the studio is kept on
	maxNameRune      = 200
)

// StaffRoles are the roles of people who work in the studio.
var StaffRoles = []Role{Owner, Coach, Assistant}

// Roles is every role there is.
var Roles = []Role{Owner, Coach, Assistant, AsStudent, AsGuardian, AtTheDesk}

// Person works in a studio: its owner, a coach, an assistant.
type Person struct {
	ID    string `json:"id"`
	Name  string `json:"name"`
	Email string `json:"email,omitempty"` // signs in with it; one person each
	Role  Role   `json:"role"`
	Since Date   `json:"since"`
	Left  *Date  `json:"left,omitempty"` // from this day on the person may do nothing
}

// WorksOn says whether the person works in the studio on the day.
func (p Person) WorksOn(day Date) bool { return p.Left == nil || day < *p.Left }

// Check lists what is wrong with the person's own fields.
func (p Person) Check() (fs []Fault) {
	fs = checkNamed(p.ID, p.Name, p.Email)
	if !slices.Contains(StaffRoles, p.Role) {
		fs = append(fs, Fault{Code: UnknownWord, Field: "role", Value: Short(string(p.Role)), Want: joined(StaffRoles)})
	}
	if p.Left != nil && *p.Left < p.Since {
		fs = append(fs, Fault{Code: Contradiction, Field: "left", Value: p.Left.String(), Want: "a day on or after " + p.Since.String()})
	}
	return fs
}

// Guardian answers for students under age.
type Guardian struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`
	Email    string   `json:"email,omitempty"`
	Students []string `json:"students"`
}

// Check lists what is wrong with the guardian's own fields.
func (g Guardian) Check() []Fault {
	fs := checkNamed(g.ID, g.Name, g.Email)
	for i, id := range g.Students {
		if !ValidID(id) {
			fs = append(fs, Fault{Code: BadID, Field: indexed("students", i, ""), Value: Short(id)})
		}
	}
	return fs
}

// Cover lets a colleague stand in for a coach: for all of the coach's students,
// or one, both ends inclusive.
type Cover struct {
	ID      string `json:"id"`
	For     string `json:"for"` // the coach who is away
	By      string `json:"by"`  // the colleague
	Student string `json:"student,omitempty"`
	From    Date   `json:"from"`
	To      Date   `json:"to"`
}

// Check lists what is wrong with the cover itself.
func (c Cover) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"id", c.ID}, {"for", c.For}, {"by", c.By}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	if c.Student != "" && !ValidID(c.Student) {
		fs = append(fs, Fault{Code: BadID, Field: "student", Value: Short(c.Student)})
	}
	if c.By == c.For && c.By != "" {
		fs = append(fs, Fault{Code: Contradiction, Field: "by", Value: c.By, Want: "another coach than the one who is away"})
	}
	if c.To < c.From {
		fs = append(fs, Fault{Code: Contradiction, Field: "to", Value: c.To.String(), Want: "a day on or after " + c.From.String()})
	}
	return fs
}

// In says whether the cover holds on the day.
func (c Cover) In(day Date) bool { return day >= c.From && day <= c.To }

// ValidEmail says whether s has the shape of an address one could write to:
// something, one @, something, no space, at most 254 bytes (RFC 5321).
func ValidEmail(s string) bool {
	at := strings.IndexByte(s, '@')
	return at > 0 && at < len(s)-1 && len(s) <= 254 && strings.Count(s, "@") == 1 &&
		!strings.ContainsFunc(s, func(r rune) bool { return r <= ' ' || r == 0x7f || r == ',' || r == ';' || r == '<' || r == '>' })
}

func checkNamed(id, name, email string) (fs []Fault) {
	if !ValidID(id) {
		fs = append(fs, Fault{Code: BadID, Field: "id", Value: Short(id)})
	}
	switch {
	case strings.TrimSpace(name) == "":
		fs = append(fs, Fault{Code: MissingField, Field: "name"})
	case len([]rune(name)) > maxNameRune:
		fs = append(fs, Fault{Code: OutOfRange, Field: "name", Value: Short(name), Want: "at most 200 letters"})
	}
	if email != "" && !ValidEmail(email) {
		fs = append(fs, Fault{Code: OutOfRange, Field: "email", Value: Short(email), Want: "an address such as ines@millgate.example"})
	}
	return fs
}
