package picture

// Work is what a block of a session is, for its colour.
type Work string

// Kinds of work.
const (
	Frame     Work = "frame" // prep, cold, tries, stretch
	Easy      Work = "easy"
	Challenge Work = "challenge"
	Strength  Work = "strength"
)

// HungBlock is one block of a session: what, how much, and its minutes.
type HungBlock struct {
	Name, Dose string
	Minutes    float64
	Work       Work
}

// HungDay is one day of a week under its beam; a day without blocks says its
// Rest instead.
type HungDay struct {
	Name   string
	Start  string // when, or what it rides on
	Rest   string
	Blocks []HungBlock
}

// HungWeek draws seven columns under one beam: the blocks of a session hang
// under its day, and their height is their minutes, but never less than their
// text takes.
func HungWeek(alt string, days []HungDay) string {
	const wide, top, gap, least, perMinute = 1080.0, 26.0, 3.0, 26.0, 4.2
	column := wide / float64(max(1, len(days)))
	texts := func(b HungBlock) (name, dose []string) {
		name = fit(b.Name, column-26, 13, 2)
		if b.Dose != "" {
			dose = fit(b.Dose, column-26, 12, 2)
		}
		return name, dose
	}
	high := func(b HungBlock) float64 {
		name, dose := texts(b)
		return max(least, b.Minutes*perMinute, 10+16*float64(len(name)+len(dose)))
	}
	deepest := 60.0
	for _, d := range days {
		sum := 22.0
		for _, b := range d.Blocks {
			sum += high(b) + gap
		}
		deepest = max(deepest, sum)
	}
	p := begin("hung", alt, wide, top+beamHigh+deepest+26)
	p.beam(top)
	for i, d := range days {
		x := column * float64(i)
		p.text("strong", "start", x+8, 16, d.Name)
		p.text("small soft", "end", x+column-10, 16, d.Start)
		y := top + beamHigh + 22
		if len(d.Blocks) == 0 {
			p.text("soft", "start", x+8, y, d.Rest)
			continue
		}
		middle := x + column/2
		p.line("string", middle, top+beamHigh, middle, y)
		for _, b := range d.Blocks {
			h := high(b)
			p.rect("b-"+string(b.Work), x+4, y, column-10, h)
			name, dose := texts(b)
			for j, row := range name {
				p.text("on-"+string(b.Work), "start", x+12, y+17+16*float64(j), row)
			}
			for j, row := range dose {
				p.text("small on-"+string(b.Work), "start", x+12, y+17+16*float64(len(name)+j), row)
			}
			y += h + gap
		}
		p.bob("bob", middle, y+18)
	}
	return p.end()
}
