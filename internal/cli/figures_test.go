package cli

import (
	"testing"

	"aplomb/internal/library"
	"aplomb/internal/picture"
)

// TestEveryDrillIsDrawn: every drill of the library has a drawing that a body
// can take, right side up or upside down as its support says, with its weight
// over the hands where it is free, toes on the wall chest to it and heels back
// to it.
func TestEveryDrillIsDrawn(t *testing.T) {
	for _, d := range library.Builtin().Drills {
		if d.Figure == nil {
			t.Errorf("%s has no figure", d.ID)
			continue
		}
		if svg, err := picture.Figure(d.Name, *d.Figure); err != nil || len(svg) > 6000 {
			t.Errorf("%s: %d bytes, %v", d.ID, len(svg), err)
		}
		for _, f := range picture.CheckFigure(*d.Figure, d.Support) {
			t.Errorf("%s: %s", d.ID, f.Error())
		}
	}
}
