// Package library holds what ships with the program for a coach to prescribe:
// components, drills, floor tests, and what each milestone asks of them.
//
// The data are the JSON files in data/, written to be read and argued with.
// Difficulties, priors and asks are guesses to edit; a studio adds drills or
// puts its own in place of ours with [Merge].
//
// Two things about the drills hold by how they are written, beyond what [Check]
// can see. Drills with support "floor" keep the head no lower than the chest,
// because pressure in the eyes rises in any head-down pose (Jasien et al. 2015),
// so a student who may not invert may do all of them. And a criterion is about
// one rep, as an attempt is.
package library

import (
	"bytes"
	"embed"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strings"
	"sync"

	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// Version names the library that ships with this program.
const Version = "2026-11 second"

//go:embed data
var data embed.FS

// Builtin is the library that ships with the program, in English. Every caller
// gets the same one: it must not be changed. It panics where the embedded files
// are not what the program expects.
func Builtin() *practice.Library { return builtin() }

var builtin = sync.OnceValue(func() *practice.Library {
	lib := bare()
	tell(lib, words.English)
	if faults := Check(lib); len(faults) > 0 {
		panic("library: " + practice.Faults(faults).Error())
	}
	return lib
})

// In is the library in another language; what that language has no text for
// stays English.
func In(book *words.Book) *practice.Library {
	english := Builtin()
	lib := *english
	lib.Drills, lib.Probes = slices.Clone(english.Drills), slices.Clone(english.Probes)
	tell(&lib, book)
	return &lib
}

// bare is the library's figures, without a word to read.
func bare() *practice.Library {
	lib := &practice.Library{Version: Version}
	mustRead("components", &lib.Components)
	for _, info := range lib.Components {
		file := strings.ReplaceAll(string(info.Name), " ", "-")
		var drills []practice.Drill
		mustRead("drills/"+file, &drills)
		figures := map[string]practice.Figure{}
		mustRead("figures/"+file, &figures)
		for i, d := range drills {
			if f, ok := figures[d.ID]; ok {
				drills[i].Figure = &f
				delete(figures, d.ID)
			}
		}
		if len(figures) > 0 {
			panic(fmt.Sprintf("library: figures/%s.json: no drill %s", file, keys(figures)[0]))
		}
		lib.Drills = append(lib.Drills, drills...)
	}
	mustRead("probes", &lib.Probes)
	mustRead("milestones", &lib.Milestones)
	return lib
}

func tell(lib *practice.Library, book *words.Book) {
	for i, d := range lib.Drills {
		lib.Drills[i] = d.Told(book.Drill(d.ID))
	}
	for i, p := range lib.Probes {
		lib.Probes[i] = p.Told(book.Probe(p.ID))
	}
}

func mustRead(name string, into any) {
	raw, err := data.ReadFile("data/" + name + ".json")
	if err == nil {
		err = decode(raw, into)
	}
	if err != nil {
		panic(fmt.Sprintf("library: %s.json: %v", name, err))
	}
}

// decode reads one JSON value and nothing else, and knows every field in it.
func decode(raw []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(raw))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return err
	}
	if _, err := d.Token(); err != io.EOF {
		return fmt.Errorf("something follows the list")
	}
	return nil
}

// Merge is base with a studio's own drills: one with the id of a base drill
// takes its place, the others follow in their order. base is left as it is. An
// id given twice stands twice in the result, where [Check] finds it.
func Merge(base *practice.Library, overrides []practice.Drill) *practice.Library {
	if len(overrides) == 0 {
		return base
	}
	merged := *base
	merged.Version += " with the studio's own"
	merged.Drills = slices.Clone(base.Drills)
	taken := map[string]bool{}
	for _, d := range overrides {
		at := slices.IndexFunc(base.Drills, func(b practice.Drill) bool { return b.ID == d.ID })
		if at >= 0 && !taken[d.ID] {
			merged.Drills[at] = d
		} else {
			merged.Drills = append(merged.Drills, d)
		}
		taken[d.ID] = true
	}
	return &merged
}
