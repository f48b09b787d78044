package planning

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"aplomb/internal/library"
	"aplomb/internal/practice"
	"aplomb/internal/week"
)

// A week handed over carries what it was made from, and the draft it came from
// stays as it was.
func TestHandOverFreezes(t *testing.T) {
	lib := library.Builtin()
	drill := lib.Drills[4]
	d := Draft{Problem: week.Problem{Name: "mira 2026-W23"}}
	d.Week = practice.Week{Student: "mira", Version: 2, Status: practice.Draft, Library: lib.Version, Model: ModelVersion,
		Sessions: []practice.PlannedSession{{Blocks: []practice.Block{{Kind: practice.PracticeBlock,
			Items: []practice.Item{{ID: "mon-practice-1", Drill: drill.ID, Sets: 3}, {ID: "mon-practice-2", Drill: "own", Name: "Own", Why: "asked for"}}}}}},
		DaysOff: []practice.Item{{Drill: drill.ID}}}
	d.Tests = []FloorTest{{ID: lib.Probes[0].ID, Day: 2, Minutes: 3, Worth: 0.05, Cost: 0.02, Between: [2]practice.Component{"line", "tension"}}}
	at := practice.Instant{UnixNano: 1e18, Offset: 60}
	w, err := d.HandOver(at, 7, lib, func(id string) string { return "because of " + id })
	if err != nil {
		t.Fatal(err)
	}
	items := w.Sessions[0].Blocks[0].Items
	if w.Status != practice.HandedOver || *w.HandedAt != at || w.Seed != 7 || w.Version != 2 {
		t.Errorf("%+v", w)
	}
	if items[0].Name != drill.Name || items[0].Why != "because of "+drill.ID || w.DaysOff[0].Name != drill.Name {
		t.Errorf("texts: %+v", items)
	}
	if items[1].Name != "Own" || items[1].Why != "asked for" {
		t.Errorf("what the coach wrote was lost: %+v", items[1])
	}
	test := practice.PlannedTest{Day: 2, Test: lib.Probes[0].ID, Name: lib.Probes[0].Name, Minutes: 3, Worth: 0.05, Cost: 0.02,
		Between: []practice.Component{"line", "tension"}}
	if diff := cmp.Diff([]practice.PlannedTest{test}, w.Tests); diff != "" || test.Name == "" {
		t.Errorf("the floor tests (-want +got):\n%s", diff)
	}
	var back week.Problem
	if err := json.Unmarshal(w.Problem, &back); err != nil || back.Name != d.Problem.Name {
		t.Errorf("the problem: %v %+v", err, back)
	}
	if d.Week.Status != practice.Draft || d.Week.Sessions[0].Blocks[0].Items[0].Name != "" {
		t.Error("the draft changed with it")
	}
}
