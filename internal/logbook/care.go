package logbook

import (
	"slices"

	"aplomb/internal/practice"
)

// care looks for signs in a session after which the hands carry nothing until
// the coach clears it: every sign any version ever showed, the older ones and
// those that cannot be kept too, so that the order in which they arrive makes
// no difference. A sign stops once: what the coach cleared is not stopped again
// because the entry came again.
func (m *merge) care(r reading, receipt *practice.Receipt, at practice.Instant) {
	session, ok := r.row.(*sessionRow)
	if !ok {
		return
	}
	day := m.day(at)
	if timely(at, m.now) != nil {
		day = m.day(m.now)
	}
	signs := session.Alarms(m.held.Student.Value.Minor(day))
	if signs&^receipt.Alarms == 0 {
		return
	}
	receipt.Alarms |= signs
	m.write(*receipt)
	if stop := m.loaded(day); stop != nil {
		m.stop = stop
	}
}

// loaded is the stop of hand load from that day on; nil where one holds
// already.
func (m *merge) loaded(day practice.Date) *practice.Stop {
	today := m.day(m.now)
	day = min(day, today)
	for _, s := range m.held.Student.Value.Stops {
		if s.In(today) && slices.Contains(s.No, practice.HandLoad) {
			return nil
		}
	}
	if m.stop != nil {
		day = min(day, m.stop.Since)
	}
	return &practice.Stop{No: []practice.Strain{practice.HandLoad}, Since: day}
}

// day is the student's own day of a time.
func (m *merge) day(at practice.Instant) practice.Date {
	zone := m.held.Student.Value.Zone
	if !zone.Known() {
		zone = m.held.Studio.Zone
	}
	return zone.Date(at)
}
