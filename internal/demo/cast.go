package demo

import (
	"aplomb/internal/learner"
	"aplomb/internal/practice"
	"aplomb/internal/rehearse"
)

// week is the sessions of a student: a day, minutes, and when or what it rides
// on.
func slot(day practice.Weekday, minutes int, start, rides string) practice.Slot {
	return practice.Slot{Day: day, Minutes: minutes, Start: start, RidesOn: rides}
}

var (
	evenings = []practice.Slot{slot(0, 45, "18:30", ""), slot(2, 40, "18:30", ""), slot(4, 40, "18:30", ""), slot(5, 15, "", "a walk")}
	hallDays = []practice.Slot{slot(1, 60, "19:00", ""), slot(3, 60, "19:00", ""), slot(6, 20, "10:00", "")}
	mornings = []practice.Slot{slot(0, 20, "07:10", ""), slot(1, 20, "07:10", ""), slot(3, 20, "07:10", ""), slot(4, 20, "07:10", ""), slot(6, 45, "09:30", "")}
	gymDays  = []practice.Slot{slot(1, 50, "12:15", "a shoulder session"), slot(4, 50, "12:15", ""), slot(6, 15, "", "")}
	few      = []practice.Slot{slot(2, 35, "20:00", ""), slot(5, 50, "11:00", "")}
)

func person(id, name string, slots []practice.Slot, more func(*practice.Student)) practice.Student {
	s := practice.Student{ID: id, Name: name, Slots: slots, Coach: OwnerID, Kit: []practice.Kit{"wall", "mat"}, Goal: "15 s away from any wall, first try"}
	if more != nil {
		more(&s)
	}
	return s
}

func born(day practice.Date, years int) *practice.Date {
	b := day - practice.Date(years*365+170)
	return &b
}

func fear(level float64) *float64 { return &level }

// cast is the 24 students, and what happened to them. Every notice has somebody.
func cast(day practice.Date) []member {
	life := func(s practice.Student, seed uint64, before int) rehearse.Life {
		return rehearse.Life{Student: s, Seed: seed, Before: before, Weeks: Weeks, Content: rehearse.Planned,
			Flaws: learner.Flaws{Missed: 0.08, Forgotten: 0.02, WholeS: 0.4}}
	}
	with := func(l rehearse.Life, change func(*rehearse.Life)) rehearse.Life { change(&l); return l }
	group := func(g string) func(*practice.Student) { return func(s *practice.Student) { s.Group = g } }
	return []member{
		{life(person("orla", "Orla Tennick", evenings, func(s *practice.Student) {
			s.Background, s.LeadLeg, s.Fear = "Climbs twice a week.", "left", fear(2)
		}), 101, 14), []func(*edit){helped, note(9, "Ribs stay in when she talks on the way up.")}},
		{life(person("bram", "Bram Ostwick", hallDays, group("tuesday")), 102, 10), []func(*edit){confused}},
		{life(person("ilse", "Ilse Carrow", few, func(s *practice.Student) {
			s.Born, s.Guardian, s.Background = born(day, 13), "Maren Carrow", "Gymnastics from seven to ten."
		}), 103, 8), []func(*edit){hurt(2, "wrist", 3, 3), story(practice.PainNote, 1, "Her wrist was stiff at breakfast, as after the session before.")}},
		{life(person("tomas", "Tomas Wyke", mornings, func(s *practice.Student) { s.Fear = fear(6) }), 104, 0),
			[]func(*edit){story(practice.ScreenNote, 80, "No operation, no dizziness. Fell off a wall at twelve and has kept away from tipping since.")}},
		{life(person("petra", "Petra Lindqvale", evenings, func(s *practice.Student) {
			s.Stops = []practice.Stop{{No: []practice.Strain{practice.Inverted}, Since: day - 20}}
		}), 105, 12), []func(*edit){story(practice.StopNote, 20, "Pressure behind one eye after the low cartwheels. Sent to her doctor; nothing upside down until we hear.")}},
		{life(person("edda", "Edda Farrowmoor", mornings, func(s *practice.Student) { s.Goal = "a straddle press" }), 106, 50),
			[]func(*edit){lesson(6, 40, "By video. The last seconds sink; push through the floor before it is needed.")}},
		{life(person("jory", "Jory Applewhit", hallDays, group("tuesday")), 107, 6), []func(*edit){quiet(17)}},
		{life(person("sanna", "Sanna Dunmarrow", evenings, nil), 108, 16), []func(*edit){hurt(1, "elbow", 6, 2)}},
		{with(life(person("colm", "Colm Brackwater", hallDays, group("tuesday")), 109, 20), func(l *rehearse.Life) { l.Weeks = 24; l.Stops = 10 }), nil},
		{life(person("nessa", "Nessa Thornquill", evenings, nil), 110, 30), []func(*edit){fading}},
		{life(person("ruben", "Ruben Halemoss", gymDays, nil), 111, 44), []func(*edit){steady(11)}},
		{life(person("livia", "Livia Starbeck", mornings, nil), 112, 18), []func(*edit){gap(26, 6)}},
		{with(life(person("odran", "Odran Pellwick", few, nil), 113, 3), func(l *rehearse.Life) { l.Content = rehearse.MaximalOnly }), nil},
		{life(person("maud", "Maud Kestrelby", evenings, nil), 114, 12), []func(*edit){bunched(5)}},
		{with(life(person("henrik", "Henrik Sallowfield", hallDays, func(s *practice.Student) {
			s.Born, s.Guardian = born(day, 15), "Piet Sallowfield"
		}), 115, 9), func(l *rehearse.Life) { l.Content = rehearse.BalanceOnly }), nil},
		{life(person("tamsin", "Tamsin Orrick", gymDays, nil), 116, 15), []func(*edit){scattered}},
		{with(life(person("pavel", "Pavel Greystead", evenings, nil), 117, 26), func(l *rehearse.Life) { l.Stops = 6 }), nil},
		{life(person("inga", "Inga Marrowby", few, func(s *practice.Student) {
			s.MinutesOff = []practice.Away{{From: day - 3, To: day + 11, Reason: "the coast"}}
		}), 118, 11), nil},
		{life(person("lorcan", "Lorcan Fennimoor", mornings, group("early")), 119, 22), []func(*edit){helped, overreached}},
		{life(person("dilys", "Dilys Ashvane", mornings, group("early")), 120, 24), nil},
		{life(person("wim", "Wim Ottervale", hallDays, func(s *practice.Student) { s.Coach = "joss"; s.Kit = []practice.Kit{"wall", "mat", "blocks"} }), 121, 34), nil},
		{life(person("saskia", "Saskia Lorn", gymDays, func(s *practice.Student) { s.Coach = "joss" }), 122, 7), nil},
		{life(person("emrys", "Emrys Tarnhollow", evenings, func(s *practice.Student) { s.Coach = "joss" }), 123, 60), nil},
		{with(life(person("bettina", "Bettina Quarrel", evenings, func(s *practice.Student) { s.Fear = fear(4) }), 124, 0), func(l *rehearse.Life) { l.Weeks = 1 }),
			[]func(*edit){note(5, "First week. Show her the way out before anything else.")}},
	}
}
