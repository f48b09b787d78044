package web

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"slices"

	"aplomb/internal/library"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

// phonePlan is everything a phone needs to train without a line: today and the
// next seven days, whole, and every text of the phone's pages.
type phonePlan struct {
	Tag      string                `json:"tag"` // of all the rest
	Studio   string                `json:"studio"`
	Student  string                `json:"student"`
	Name     string                `json:"name"`
	Coach    string                `json:"coach,omitempty"`
	Language string                `json:"language"`
	Today    practice.Date         `json:"today"`
	Zone     string                `json:"zone"`
	Minor    bool                  `json:"minor,omitempty"`
	Caution  string                `json:"caution"`
	Stops    []phoneStop           `json:"stops"`
	Days     []phoneDay            `json:"days"`
	Drills   map[string]phoneDrill `json:"drills"`
	Rules    phoneRules            `json:"rules"`
	Words    map[string]string     `json:"words"`
}

// phoneStop is what a stop forbids, never why.
type phoneStop struct {
	No   practice.Strain `json:"no"`
	Text string          `json:"text"`
}

// phoneRules are the figures the session on the phone goes by.
type phoneRules struct {
	WorseSets  int     `json:"worse_sets"`  // in a row, then an easy one is offered
	ColdTries  int     `json:"cold_tries"`  // a day
	AskMorning float64 `json:"ask_morning"` // of 10: pain from here on is asked about next morning
	StopOver   float64 `json:"stop_over"`   // of 10: pain over this stops weight on the hands
	CatchS     float64 `json:"catch_s"`     // seconds a free try must last
}

type phoneDay struct {
	Date     practice.Date  `json:"date"`
	Name     string         `json:"name"`
	Handed   bool           `json:"handed"` // the coach handed this week over
	Away     bool           `json:"away,omitempty"`
	Sessions []phoneSession `json:"sessions"`
	Off      []phoneItem    `json:"off,omitempty"` // stretching of a day without a session
}

type phoneSession struct {
	Week    string       `json:"week"` // student/week/version
	Day     string       `json:"day"`  // mon to sun
	Index   int          `json:"index"`
	Start   string       `json:"start,omitempty"`
	RidesOn string       `json:"rides_on,omitempty"`
	Minutes float64      `json:"minutes"`
	Blocks  []phoneBlock `json:"blocks"`
	Tests   []phoneTest  `json:"tests,omitempty"`
	Tired   *phoneShort  `json:"tired,omitempty"`
	Five    *phoneShort  `json:"five,omitempty"`
	Last    *phoneItem   `json:"last,omitempty"` // the easy one to finish with
}

// phoneShort is a smaller version of a session.
type phoneShort struct {
	Minutes float64      `json:"minutes"`
	Blocks  []phoneBlock `json:"blocks"`
}

type phoneBlock struct {
	Kind    practice.BlockKind `json:"kind"`
	Name    string             `json:"name"`
	Minutes float64            `json:"minutes"`
	Text    string             `json:"text,omitempty"`
	Items   []phoneItem        `json:"items"`
}

type phoneItem struct {
	ID      string  `json:"id,omitempty"`
	Drill   string  `json:"drill"`
	Name    string  `json:"name"`
	Dose    string  `json:"dose"`
	Sets    int     `json:"sets"`
	Reps    int     `json:"reps"`
	Seconds float64 `json:"seconds,omitempty"`
	Rest    float64 `json:"rest,omitempty"`
	Minutes float64 `json:"minutes"`
	Cue     string  `json:"cue,omitempty"`
	Why     string  `json:"why,omitempty"`
}

type phoneTest struct {
	Test    string  `json:"test"`
	Name    string  `json:"name"`
	Setup   string  `json:"setup,omitempty"`
	Counts  string  `json:"counts,omitempty"`
	Minutes float64 `json:"minutes"`
}

// phoneDrill is a drill with all a student reads of it.
type phoneDrill struct {
	Name      string            `json:"name"`
	Purpose   string            `json:"purpose,omitempty"`
	Setup     string            `json:"setup,omitempty"`
	Steps     []string          `json:"steps,omitempty"`
	Cues      []string          `json:"cues,omitempty"`
	Errors    []practice.Slip   `json:"errors,omitempty"`
	Out       string            `json:"out,omitempty"`
	Criterion string            `json:"criterion,omitempty"`
	Spot      string            `json:"spot,omitempty"`
	NotFor    string            `json:"not_for,omitempty"`
	Kind      practice.Kind     `json:"kind"`
	Support   practice.Support  `json:"support"`
	Measure   practice.Measure  `json:"measure"`
	Free      bool              `json:"free,omitempty"` // a free try: passed means caught
	Reps      int               `json:"reps,omitempty"`
	Seconds   float64           `json:"seconds,omitempty"`
	Rest      float64           `json:"rest,omitempty"`
	Strains   []practice.Strain `json:"strains,omitempty"`
	Stopped   string            `json:"stopped,omitempty"` // what forbids it today
	Ends      []practice.End    `json:"ends"`
	Figure    string            `json:"figure,omitempty"`
	Alt       string            `json:"alt,omitempty"`
	Easier    string            `json:"easier,omitempty"` // the easier one that this student may do
}

// phoneDays is how many days a plan has: today and the next seven.
const phoneDays = 8

// plan builds the plan of the student who is there, without HTTP.
func (v *visit) plan() (phonePlan, error) {
	kept, err := v.Roster.Student(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return phonePlan{}, err
	}
	offered, err := v.Bench.Offered(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return phonePlan{}, err
	}
	weeks, err := v.Bench.Handed(v.ctx(), v.who(), v.who().ID)
	if err != nil {
		return phonePlan{}, err
	}
	names, err := v.Account.Names(v.ctx(), v.who())
	if err != nil {
		return phonePlan{}, err
	}
	w := &planWriter{book: v.Words, student: kept.Value, offered: offered, weeks: newest(weeks), easier: library.Easier(offered.Library)}
	w.offered.Library = told(offered.Library, v.Words)
	zone := kept.Value.Zone
	if !zone.Known() {
		zone = v.in.Studio.Zone
	}
	p := w.write(zone.At(v.Now()).Date())
	p.Studio, p.Coach, p.Language, p.Zone = v.who().Studio, names[kept.Value.Coach], v.lang, zone.String()
	return p, p.seal()
}

// seal writes the tag: the start of the SHA-256 of all the rest, and of the
// pages that read it.
func (p *phonePlan) seal() error {
	p.Tag = version
	raw, err := json.Marshal(p)
	if err != nil {
		return fmt.Errorf("web: %w", err)
	}
	sum := sha256.Sum256(raw)
	p.Tag = hex.EncodeToString(sum[:])[:24]
	return nil
}

// newest is the newest version of every week.
func newest(weeks []practice.Week) map[practice.ISOWeek]practice.Week {
	out := map[practice.ISOWeek]practice.Week{}
	for _, w := range weeks {
		if out[w.ISOWeek].Version < w.Version {
			out[w.ISOWeek] = w
		}
	}
	return out
}

// told is the library in the language of a book; what a studio wrote itself
// stays as it was written.
func told(lib *practice.Library, book *words.Book) *practice.Library {
	if book == words.English {
		return lib
	}
	out := *lib
	out.Drills, out.Probes = slices.Clone(lib.Drills), slices.Clone(lib.Probes)
	for i, d := range out.Drills {
		if builtin, ok := library.Builtin().Drill(d.ID); ok && builtin.Name == d.Name && builtin.Setup == d.Setup {
			out.Drills[i] = d.Told(book.Drill(d.ID))
		}
	}
	for i, p := range out.Probes {
		out.Probes[i] = p.Told(book.Probe(p.ID))
	}
	return &out
}

// planWriter writes a plan from a student's weeks.
type planWriter struct {
	book    *words.Book
	student practice.Student
	offered planning.Offered
	weeks   map[practice.ISOWeek]practice.Week
	easier  map[string][]string
	plan    phonePlan
}

func (w *planWriter) write(today practice.Date) phonePlan {
	w.plan = phonePlan{Student: w.student.ID, Name: w.student.Name, Today: today, Minor: w.student.Minor(today), Caution: w.book.Say("caution"),
		Stops: []phoneStop{}, Drills: map[string]phoneDrill{}, Words: w.book.Under("phone."),
		Rules: phoneRules{WorseSets: library.Advice().Stop.WorseSets, ColdTries: 2, AskMorning: 3, StopOver: 5, CatchS: practice.CatchS}}
	for _, no := range w.barred() {
		w.plan.Stops = append(w.plan.Stops, phoneStop{no, w.book.Say("phone.stop." + string(no))})
	}
	for day := today; day < today+phoneDays; day++ {
		w.plan.Days = append(w.plan.Days, w.day(day))
	}
	return w.plan
}

// barred are the strains forbidden now, each once.
func (w *planWriter) barred() (out []practice.Strain) {
	for _, no := range practice.Strains {
		if w.offered.Standing.Barred(no) {
			out = append(out, no)
		}
	}
	return out
}

func (w *planWriter) day(day practice.Date) phoneDay {
	week, handed := w.weeks[day.Week()]
	out := phoneDay{Date: day, Name: telling.ShortDate(w.book, day), Handed: handed, Away: w.student.AwayOn(day), Sessions: []phoneSession{}}
	for _, s := range week.Sessions {
		if s.Day == day.Weekday() {
			out.Sessions = append(out.Sessions, w.session(week, s, len(out.Sessions)))
		}
	}
	if len(out.Sessions) == 0 {
		out.Off = w.items(week.DaysOff)
	}
	return out
}

// weekID names one version of a week that was handed over.
func weekID(w practice.Week) string {
	return fmt.Sprintf("%s/%s/%d", w.Student, w.ISOWeek, w.Version)
}

func (w *planWriter) session(week practice.Week, s practice.PlannedSession, index int) phoneSession {
	lib := w.offered.Library
	out := phoneSession{Week: weekID(week), Day: s.Day.String(), Index: index, Start: s.Start, RidesOn: s.RidesOn, Minutes: s.Minutes,
		Blocks: w.blocks(s), Tired: w.short(planning.Tired(s, lib)), Five: w.short(planning.FiveMinutes(s, lib))}
	for _, t := range week.Tests {
		if t.Day == s.Day {
			probe, _ := lib.Probe(t.Test)
			out.Tests = append(out.Tests, phoneTest{t.Test, probe.Name, probe.Setup, probe.Counts, t.Minutes})
		}
	}
	if last, ok := planning.LastSet(s, lib); ok {
		it := w.item(last)
		out.Last = &it
	}
	return out
}

// short is a smaller version, or nothing where no drill is left in it.
func (w *planWriter) short(s practice.PlannedSession) *phoneShort {
	if !slices.ContainsFunc(s.Blocks, func(b practice.Block) bool { return len(b.Items) > 0 && b.Kind != practice.StretchBlock }) {
		return nil
	}
	return &phoneShort{s.Minutes, w.blocks(s)}
}

func (w *planWriter) blocks(s practice.PlannedSession) []phoneBlock {
	out := make([]phoneBlock, len(s.Blocks))
	for i, b := range s.Blocks {
		out[i] = phoneBlock{Kind: b.Kind, Name: w.book.Say("phone.block." + string(b.Kind)), Minutes: b.Minutes, Items: w.items(b.Items)}
		if len(b.Items) == 0 {
			out[i].Text = w.blockText(b.Kind)
		}
	}
	return out
}

// blockText is what is done in a block without drills.
func (w *planWriter) blockText(kind practice.BlockKind) string {
	switch {
	case kind == practice.PrepBlock && w.offered.Standing.Barred(practice.HandLoad):
		return w.book.Say("phone.block.prep.noload")
	case kind == practice.PrepBlock, kind == practice.LogBlock:
		return w.book.Say("phone.block." + string(kind) + ".text")
	}
	return ""
}

func (w *planWriter) items(items []practice.Item) []phoneItem {
	out := make([]phoneItem, len(items))
	for i, it := range items {
		out[i] = w.item(it)
	}
	return out
}

// item is a line of a session; its drill comes into the plan with it.
func (w *planWriter) item(it practice.Item) phoneItem {
	d, known := w.offered.Library.Drill(it.Drill)
	out := phoneItem{ID: it.ID, Drill: it.Drill, Name: it.Name, Dose: telling.Dose(w.book, w.offered.Library, it), Sets: max(1, it.Sets), Reps: max(1, it.Reps),
		Seconds: it.Seconds, Rest: it.RestSeconds, Minutes: it.Minutes, Cue: w.cue(d, it.Cue), Why: it.Why}
	if known {
		out.Name = d.Name
		w.drill(d)
	} else {
		w.plan.Drills[it.Drill] = phoneDrill{Name: it.Name, Ends: []practice.End{}}
	}
	return out
}

// cue is the coach's cue; one of the library's own is in the student's language.
func (w *planWriter) cue(d practice.Drill, text string) string {
	builtin, ok := library.Builtin().Drill(d.ID)
	if !ok || len(builtin.Cues) != len(d.Cues) {
		return text
	}
	for i, c := range builtin.Cues {
		if c.Text == text {
			return d.Cues[i].Text
		}
	}
	return text
}

// drill puts a drill into the plan, and the easier one that may take its place.
func (w *planWriter) drill(d practice.Drill) {
	if _, there := w.plan.Drills[d.ID]; there {
		return
	}
	out := phoneDrill{Name: d.Name, Purpose: d.Purpose, Setup: d.Setup, Steps: d.Steps, Errors: d.Errors, Out: d.Out, Criterion: d.Criterion, Spot: d.Spot,
		NotFor: d.NotFor, Kind: d.Kind, Support: d.Support, Measure: d.Measure, Free: practice.FreeTry(d.ID), Reps: d.Reps, Seconds: d.Seconds, Rest: d.RestSeconds,
		Strains: d.Strains, Ends: endsOf(d)}
	for _, c := range d.Cues {
		out.Cues = append(out.Cues, c.Text)
	}
	for _, no := range w.plan.Stops {
		if d.Has(no.No) {
			out.Stopped = no.Text
			break
		}
	}
	if d.Figure != nil {
		out.Figure, out.Alt = figurePath(d.ID), d.Figure.Alt
	}
	easier, ok := w.offered.Easier(d, w.easier)
	if ok {
		out.Easier = easier.ID
	}
	w.plan.Drills[d.ID] = out
	if ok {
		w.drill(easier)
	}
}

// figurePath is the address of the drawing of a drill, which never changes its
// content.
func figurePath(drill string) string { return "/me/figures/" + drill + "?v=" + version }

// endsOf are the ways a try of the drill can end, the commonest first. What is
// not upside down has none but pain.
func endsOf(d practice.Drill) []practice.End {
	switch d.Support {
	case practice.Open:
		return []practice.End{practice.Lowered, practice.Over, practice.Under, practice.Sideways, practice.Stepped, practice.Pain}
	case practice.WallBack, practice.WallChest:
		return []practice.End{practice.Lowered, practice.Wall, practice.Over, practice.Under, practice.Sideways, practice.Pain}
	case practice.Spotter:
		return []practice.End{practice.Lowered, practice.SpottedSave, practice.SpottedTouch, practice.Under, practice.Sideways, practice.Pain}
	}
	return []practice.End{practice.Pain}
}
