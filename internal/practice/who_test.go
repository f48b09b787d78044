package practice

import "testing"

func TestWhoMayWhat(t *testing.T) {
	for _, c := range []struct {
		role Role
		do   Right
		tie  Tie
		want bool
	}{
		{Coach, SeeStudent, Mine, true},
		{Coach, SeeStudent, Other, false},
		{Coach, SeeHealth, Shared, true},
		{Coach, ErasePerson, Mine, false},
		{Coach, RunStudio, Other, false},
		{Assistant, TeachClass, Other, true},
		{Assistant, SeeHealth, Mine, false},
		{Assistant, SeeStudent, Mine, false},
		{AsStudent, LogPractice, Self, true},
		{AsStudent, SeeStudent, Other, false},
		{AsGuardian, GiveConsent, Ward, true},
		{AsGuardian, SeeStudent, Other, false},
		{Owner, RunStudio, Other, true},
		{Owner, GiveConsent, Mine, false},
		{AtTheDesk, SeeHealth, Other, false},
		{Role("nobody"), SeeStudent, Mine, false},
	} {
		if got := c.role.May(c.do, c.tie); got != c.want {
			t.Errorf("%s may %s at %s: %t", c.role, c.do, c.tie, got)
		}
	}
}

func TestTies(t *testing.T) {
	day := DateOf(2026, 6, 1)
	born := DateOf(2012, 1, 1)
	mira := Student{ID: "mira", Coach: "ines", Born: &born}
	covers := []Cover{{ID: "c", For: "ines", By: "tom", From: day, To: day + 7}}
	guardians := []Guardian{{ID: "maren", Students: []string{"mira"}}}
	tie := func(role Role, id string, on Date, shares bool) Tie {
		return Who{Role: role, ID: id}.TieTo(mira, on, shares, covers, guardians)
	}
	for _, c := range []struct{ got, want Tie }{
		{tie(Coach, "ines", day, false), Mine},
		{tie(Coach, "tom", day, false), Mine},
		{tie(Coach, "tom", day+8, false), Other},
		{tie(Coach, "tom", day+8, true), Shared},
		{tie(AsStudent, "mira", day, false), Self},
		{tie(AsStudent, "ines", day, true), Other},
		{tie(AsGuardian, "maren", day, false), Ward},
		{tie(AsGuardian, "maren", DateOf(2030, 1, 1), false), Other}, // of age
		{tie(AsGuardian, "ines", day, true), Other},
	} {
		if c.got != c.want {
			t.Errorf("tie %s, want %s", c.got, c.want)
		}
	}
}

func TestConsentAge(t *testing.T) {
	born := DateOf(2010, 6, 1)
	s := Student{Born: &born}
	for _, c := range []struct {
		age  int
		day  Date
		want bool
	}{{0, DateOf(2026, 5, 31), false}, {0, DateOf(2026, 6, 1), true}, {18, DateOf(2026, 6, 1), false}, {13, DateOf(2024, 1, 1), true}} {
		if got := (Studio{ConsentAge: c.age}).Consents(s, c.day); got != c.want {
			t.Errorf("age %d on %s: %t", c.age, c.day, got)
		}
	}
	if (Studio{}).Consents(Student{Guardian: "Maren"}, born) {
		t.Error("a student with a guardian and no date of birth consents alone")
	}
}
