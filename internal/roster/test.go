package roster

import (
	"context"

	"aplomb/internal/practice"
)

// Tested keeps results of floor tests a coach took on a day; their ids, time and
// taker are set here. A result its test does not allow keeps none of them: the
// fault's field is the id of the test, or day.
func (r *Roster) Tested(ctx context.Context, who practice.Who, student string, lib *practice.Library, results []practice.ProbeResult, day practice.Date) error {
	kept, a, err := r.open(ctx, who, practice.CoachStudent, student)
	if err != nil {
		return err
	}
	at, _, fs := a.on(kept.Value, day)
	faults := practice.Faults(fs)
	for i := range results {
		v := &results[i]
		probe, ok := lib.Probe(v.Test)
		if !ok {
			return practice.Fault{Code: practice.UnknownID, Field: "test", Value: practice.Short(v.Test)}
		}
		v.ID, v.Student, v.At, v.By = r.newID(), student, at, who.ID
		v.Component, v.Unit = probe.Component, probe.Unit
		for _, f := range probe.CheckResult(*v) {
			f.Field = v.Test
			faults = append(faults, f)
		}
	}
	if len(faults) > 0 {
		return faults
	}
	if len(results) == 0 {
		return nil
	}
	return r.store.AddLog(ctx, who, student, practice.Log{Probes: results})
}

// Results are the floor tests of a student, in order of time.
func (r *Roster) Results(ctx context.Context, who practice.Who, student string) ([]practice.ProbeResult, error) {
	if _, _, err := r.open(ctx, who, practice.SeeStudent, student); err != nil {
		return nil, err
	}
	log, err := r.store.Log(ctx, who, student)
	log.Sort()
	return log.Probes, err
}
