package library

import (
	"cmp"
	"slices"

	"gonum.org/v1/gonum/stat/distuv"

	"aplomb/internal/practice"
)

// byChance is how often a coin that comes up this way half the time may look
// as one-sided as the falls did and still be taken for more: a guess to edit.
const byChance = 0.1

// OneWay is the way a student's falls mostly went, from the counts of the ends
// of the last weeks; ends that are not falls do not count, nor do saves by a
// spotter, which have no direction. It is false where no way took clearly more
// than half: if this way took half of all falls in the long run, as many or
// more would come up more than one time in ten. So 4 of 4 will do, 5 of 6 will
// not, 8 of 10 will.
func OneWay(ends map[practice.End]int) (practice.End, bool) {
	falls, most, way := 0, 0, practice.End("")
	for _, end := range practice.Ends {
		n := ends[end]
		if !end.Fell() || end == practice.SpottedSave || n <= 0 {
			continue
		}
		falls += n
		if n > most {
			most, way = n, end
		}
	}
	if most == 0 {
		return "", false
	}
	half := distuv.Binomial{N: float64(falls), P: 0.5}
	return way, half.Survival(float64(most-1)) <= byChance
}

// unseen is the share of a component's chance to limit that a trouble keeps
// whatever the standing says, so that nothing is ruled out by a filter.
const unseen = 0.05

// LookFor is up to n troubles that falls of this end show, the likeliest first:
// how common each is, times the chance that its component is what limits the
// student (limits; nil where it is not known). Each keeps the drills that may
// says the student may do; a trouble with none is left out, since nothing could
// be done about it. The rows given stay as they are.
func LookFor(rows []practice.Trouble, end practice.End, limits map[practice.Component]float64, may func(drill string) bool, n int) []practice.Trouble {
	var out []practice.Trouble
	for _, row := range rows {
		if !slices.Contains(row.Ends, end) {
			continue
		}
		row.Drills = slices.DeleteFunc(slices.Clone(row.Drills), func(id string) bool { return !may(id) })
		if len(row.Drills) > 0 {
			out = append(out, row)
		}
	}
	score := func(row practice.Trouble) float64 {
		if limits == nil {
			return row.Common
		}
		return row.Common * (unseen + limits[row.Component])
	}
	slices.SortStableFunc(out, func(a, b practice.Trouble) int { return cmp.Compare(score(b), score(a)) })
	return out[:min(n, len(out))]
}
