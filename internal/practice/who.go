package practice

import "slices"

// Who is behind a call: which studio, who there, as what.
type Who struct {
	Studio string
	ID     string
	Role   Role
}

// Right is something a person may or may not do.
type Right string

// Rights, each with what it covers.
const (
	SeeStudent    Right = "see-student"   // name, standing, log, weeks, plain notes
	CoachStudent  Right = "coach-student" // change the record, write weeks, enter tests
	SeeHealth     Right = "see-health"    // health notes, sites of pain
	WriteHealth   Right = "write-health"  // health notes, stops, clearing them
	LogPractice   Right = "log-practice"  // tries, sessions, marks
	TeachClass    Right = "teach-class"   // see who comes to a class, and what they may not do
	GiveConsent   Right = "give-consent"  // give and withdraw
	ExportPerson  Right = "export-person" // everything about one student
	ErasePerson   Right = "erase-person"  // forget one student
	AddStudent    Right = "add-student"   // take a student in
	RunStudio     Right = "run-studio"    // accounts, invitations, covers, settings, own drills
	SeeAuditTrail Right = "see-audit"     // who changed what
	KeepRecords   Right = "keep-records"  // import, export, backup
)

// Rights is every right there is.
var Rights = []Right{SeeStudent, CoachStudent, SeeHealth, WriteHealth, LogPractice, TeachClass, GiveConsent, ExportPerson,
	ErasePerson, AddStudent, RunStudio, SeeAuditTrail, KeepRecords}

// Tie is what a person has to do with a student.
type Tie string

// Ties, the nearest first.
const (
	Self   Tie = "self"   // the student
	Ward   Tie = "ward"   // under age, and this is the guardian
	Mine   Tie = "mine"   // this coach's own student, or one covered for a colleague today
	Shared Tie = "shared" // of a colleague, in a studio whose coaches share
	Other  Tie = "other"  // another's student, or none
)

// Ties is every tie there is.
var Ties = []Tie{Self, Ward, Mine, Shared, Other}

// allowed is the whole table: what a role may do at which ties. A right that is
// about no student has the tie Other. What is not here is refused.
var allowed = map[Role]map[Right][]Tie{
	Owner: {
		SeeStudent: {Mine, Shared, Other}, CoachStudent: {Mine, Shared, Other}, SeeHealth: {Mine, Shared, Other},
		WriteHealth: {Mine, Shared, Other}, LogPractice: {Mine, Shared, Other}, TeachClass: {Mine, Shared, Other},
		ExportPerson: {Mine, Shared, Other}, ErasePerson: {Mine, Shared, Other}, AddStudent: {Other}, RunStudio: {Other},
		SeeAuditTrail: {Mine, Shared, Other}, KeepRecords: {Other},
	},
	Coach: {
		SeeStudent: {Mine, Shared}, CoachStudent: {Mine, Shared}, SeeHealth: {Mine, Shared}, WriteHealth: {Mine, Shared},
		LogPractice: {Mine, Shared}, TeachClass: {Mine, Shared, Other}, ExportPerson: {Mine}, AddStudent: {Other},
		SeeAuditTrail: {Mine, Shared},
	},
	Assistant:  {TeachClass: {Mine, Shared, Other}},
	AsStudent:  {SeeStudent: {Self}, SeeHealth: {Self}, LogPractice: {Self}, GiveConsent: {Self}, ExportPerson: {Self}},
	AsGuardian: {SeeStudent: {Ward}, SeeHealth: {Ward}, LogPractice: {Ward}, GiveConsent: {Ward}, ExportPerson: {Ward}},
	AtTheDesk:  {ExportPerson: {Other}, ErasePerson: {Other}, RunStudio: {Other}, KeepRecords: {Other}},
}

// May says whether the role may do this where the tie is so.
func (r Role) May(do Right, tie Tie) bool { return slices.Contains(allowed[r][do], tie) }

// TieTo works out what the person has to do with the student on the day.
// Shares says whether the studio's coaches share their students; covers and
// guardians may be those of the whole studio. A student without a coach is
// everybody's who coaches.
func (w Who) TieTo(s Student, day Date, shares bool, covers []Cover, guardians []Guardian) Tie {
	switch w.Role {
	case AsStudent:
		if w.ID == s.ID {
			return Self
		}
	case AsGuardian:
		of := slices.IndexFunc(guardians, func(g Guardian) bool { return g.ID == w.ID })
		if of >= 0 && slices.Contains(guardians[of].Students, s.ID) && s.Minor(day) {
			return Ward
		}
	case Owner, Coach, Assistant:
		covered := slices.ContainsFunc(covers, func(c Cover) bool {
			return c.By == w.ID && c.In(day) && c.For == s.Coach && s.Coach != "" && (c.Student == "" || c.Student == s.ID)
		})
		if s.Coach == w.ID || s.Coach == "" || covered {
			return Mine
		}
		if shares {
			return Shared
		}
	}
	return Other
}

// Refused is the fault of somebody doing what they may not.
func Refused(do Right) Fault { return Fault{Code: NotAllowed, Field: string(do)} }
