package cli

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"aplomb/internal/picture"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// step is an edge of the graph of drills: from one to a harder one, or from
// what must be shown to what it opens.
type step struct {
	From string `json:"from"`
	To   string `json:"to"`
	Kind string `json:"kind"` // harder or opens
}

// steps are the edges that leave or reach the drills given.
func steps(lib *practice.Library, drills []practice.Drill) []step {
	in := map[string]bool{}
	for _, d := range drills {
		in[d.ID] = true
	}
	out := []step{}
	for _, d := range lib.Drills {
		for _, to := range d.Harder {
			if in[d.ID] || in[to] {
				out = append(out, step{d.ID, to, "harder"})
			}
		}
		for _, need := range d.Needs {
			for _, way := range need.Any {
				if way.Drill != "" && (in[way.Drill] || in[d.ID]) {
					out = append(out, step{way.Drill, d.ID, "opens"})
				}
			}
		}
	}
	return out
}

// printGraph prints for every drill what is harder and what it opens.
func printGraph(env *Env, b *words.Book, lib *practice.Library, drills []practice.Drill) error {
	after := map[string]map[string][]string{"harder": {}, "opens": {}}
	for _, s := range steps(lib, drills) {
		after[s.Kind][s.From] = append(after[s.Kind][s.From], s.To)
	}
	p := newPage(env.Stdout)
	component := practice.Component("")
	for _, d := range drills {
		if d.Component != component {
			if component != "" {
				p.line("")
			}
			component = d.Component
			p.par(0, string(component))
		}
		p.hang("  ", "      ", b.Say("graph.drill", "name", d.Name, "difficulty", d.Difficulty))
		if to := after["harder"][d.ID]; len(to) > 0 {
			p.hang("      ", "        ", b.Say("graph.harder", "list", b.List(names(lib, to))))
		}
		if to := after["opens"][d.ID]; len(to) > 0 {
			p.hang("      ", "        ", b.Say("graph.opens", "list", b.List(names(lib, to))))
		}
	}
	return p.flush()
}

// drawDrills writes one SVG a drill into a folder, which it makes if need be.
func drawDrills(env *Env, b *words.Book, dir string, drills []practice.Drill) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return practice.Fault{Code: practice.NotWritten, File: dir, Err: err}
	}
	drawn := 0
	for _, d := range drills {
		if d.Figure == nil {
			continue
		}
		svg, err := picture.Figure(d.Name, *d.Figure)
		if err != nil {
			return fmt.Errorf("%s: %w", d.ID, err)
		}
		path := filepath.Join(dir, d.ID+".svg")
		if err := writeWhole(path, svg); err != nil {
			return practice.Fault{Code: practice.NotWritten, File: path, Err: err}
		}
		drawn++
	}
	_, err := fmt.Fprintln(env.Stdout, b.Say("drills.drawn", "n", drawn, "dir", dir))
	return err
}

// writeWhole writes a file beside its place and renames it: nothing half
// written stays.
func writeWhole(path, text string) error {
	tmp := path + ".part"
	err := os.WriteFile(tmp, []byte(text), 0o644)
	if err == nil {
		err = os.Rename(tmp, path)
	}
	if err != nil {
		return errors.Join(err, os.Remove(tmp))
	}
	return nil
}
