package week

import "io"

// problem reads the whole file: one object and nothing after it.
func (d *decoder) problem(p *Problem) error {
	err := d.object("", []member{
		{"name", true, into(d, &p.Name, text)},
		{"components", false, listOf(d, &p.Components, d.component)},
		{"long_sessions", false, listOf(d, &p.Long, d.session)},
		{"short_sessions", true, listOf(d, &p.Short, d.session)},
		{"hand_minutes_week", false, into(d, &p.HandWeek, minutes)},
		{"max_drills", false, into(d, &p.MaxDrills, whole)},
		{"max_drills_long", false, into(d, &p.MaxDrillsLong, whole)},
		{"drill_cost", false, into(d, &p.DrillCost, whole)},
		{"continuity_bonus", false, into(d, &p.ContinuityBonus, whole)},
		{"mix_penalty", false, into(d, &p.MixPenalty, whole)},
		{"massing", false, listOf(d, &p.Massing, d.count)},
		{"drills", false, listOf(d, &p.Drills, d.drill)},
		{"locks", true, listOf(d, &p.Locks, d.lock)},
		{"bans", true, listOf(d, &p.Bans, d.id)},
	})
	if err != nil {
		return err
	}
	if _, err := d.json.Token(); err != io.EOF {
		return d.fault("", "something follows the problem", "give one problem a file")
	}
	return nil
}

func (d *decoder) component(field string, c *Component) error {
	return d.object(field, []member{
		{"name", false, into(d, &c.Name, text)},
		{"need", false, into(d, &c.Need, real)},
		{"tau", false, into(d, &c.Tau, real)},
	})
}

func (d *decoder) session(field string, s *Session) error {
	return d.object(field, []member{
		{"day", false, into(d, &s.Day, whole)},
		{"minutes", false, into(d, &s.Minutes, minutes)},
		{"hand_minutes", false, into(d, &s.Hand, minutes)},
	})
}

func (d *decoder) drill(field string, v *Drill) error {
	return d.object(field, []member{
		{"id", false, into(d, &v.ID, text)},
		{"component", false, into(d, &v.Component, text)},
		{"kind", false, into(d, &v.Kind, text)},
		{"set_minutes", false, into(d, &v.Set, minutes)},
		{"setup_minutes", false, into(d, &v.Setup, minutes)},
		{"hand_minutes", false, into(d, &v.Hand, minutes)},
		{"value", false, into(d, &v.Value, whole)},
		{"min_sets", false, into(d, &v.MinSets, whole)},
		{"max_sets", false, into(d, &v.MaxSets, whole)},
		{"week_sets", false, into(d, &v.WeekSets, whole)},
		{"bonus", true, into(d, &v.Bonus, whole)},
		{"last_week", true, into(d, &v.LastWeek, yesNo)},
	})
}

func (d *decoder) lock(field string, l *Lock) error {
	return d.object(field, []member{
		{"drill", false, into(d, &l.Drill, text)},
		{"sets", false, into(d, &l.Sets, whole)},
	})
}

func (d *decoder) count(field string, n *int) error {
	d.lines[field] = d.line(d.json.InputOffset())
	return into(d, n, whole)(field)
}

func (d *decoder) id(field string, id *string) error {
	d.lines[field] = d.line(d.json.InputOffset())
	return into(d, id, text)(field)
}
