package telling

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"aplomb/internal/desk"
	"aplomb/internal/words"
)

// NoticeText is a notice in words: what it is, on what evidence, and what to do
// next.
type NoticeText struct{ Title, Evidence, Step string }

// Notice says a notice. drill gives the name of a drill by its id.
func Notice(b *words.Book, n desk.Notice, drill func(id string) string) NoticeText {
	id := "notice." + string(n.Kind)
	e := n.Evidence
	switch {
	case n.Kind == desk.Hurts && e.Stops:
		id = "notice.stops"
	case n.Kind == desk.Refer && e.Level == 0:
		id = "notice.signs"
	}
	pairs := []any{"days", e.Days, "n", e.N, "of", e.Of, "share", percent(e.Share), "seconds", seconds(e.Seconds),
		"p", percent(e.P), "range", b.Range(e.Lo, e.Hi), "level", strconv.FormatFloat(e.Level, 'g', 3, 64), "component", string(e.Component)}
	if e.Since != 0 {
		pairs = append(pairs, "date", ShortDate(b, e.Since))
	}
	if n.Kind == desk.Bunched {
		pairs = append(pairs, "day", DayName(b, e.Day))
	}
	if e.Drill != "" {
		pairs = append(pairs, "drill", drill(e.Drill))
	}
	if n.Kind == desk.Hurts || n.Kind == desk.Refer {
		pairs = append(pairs, "where", where(b, e.Sites))
	}
	return NoticeText{Title: b.Say(id+".title", pairs...), Evidence: b.Say(id+".evidence", pairs...), Step: b.Say(id+".step", pairs...)}
}

// where names the parts of the body that hurt; empty where they are not known.
func where(b *words.Book, sites []string) string {
	sites = slices.DeleteFunc(slices.Clone(sites), func(s string) bool { return s == "" })
	if len(sites) == 0 {
		return ""
	}
	return b.Say("notice.where", "sites", strings.Join(sites, ", "))
}

func percent(share float64) int { return int(math.Round(100 * share)) }

func seconds(s float64) string { return strconv.FormatFloat(s, 'f', -1, 64) }
