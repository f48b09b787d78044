package library

import "aplomb/internal/practice"

// Easier is, for every drill that is the next step up from others, which those
// are, in the library's order: the reverse of Harder.
func Easier(lib *practice.Library) map[string][]string {
	easier := map[string][]string{}
	for _, d := range lib.Drills {
		for _, id := range d.Harder {
			easier[id] = append(easier[id], d.ID)
		}
	}
	return easier
}
