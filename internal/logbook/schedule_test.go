package logbook_test

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"aplomb/internal/logbook"
	"aplomb/internal/practice"
)

// A phone, and a line that loses, repeats and reorders what it carries, as a
// model: what it expects of the studio it works out by itself, from what was
// logged and which requests arrived.

// logged is one entry as its student made it, with every version there was.
type logged struct {
	id, kind string
	at       practice.Instant // by the phone's clock
	versions []kept           // version n is at n-1
	answered int              // the highest version the studio answered for
	shift    *int             // worked out at the first request with it that arrived
	hurt     bool             // a version that arrived tells of a sign
	best     int              // the highest version that arrived and can be kept
}

type kept struct {
	body  string // empty: undone
	sound bool
	signs bool
}

// phone is one phone of the student, with its clock off by so much.
type phone struct {
	id      string
	off     time.Duration
	entries []*logged
	flying  []flight // requests on their way, or that may come again
	online  bool
}

// flight is a request as it was when it left.
type flight struct {
	now     practice.Instant
	entries []logbook.Entry
}

// schedule is one random history of one student.
type schedule struct {
	*studio
	*rand.Rand
	who    practice.Who
	phones []*phone
	trace  []string
}

func (s *schedule) note(format string, args ...any) {
	s.trace = append(s.trace, fmt.Sprintf(format, args...))
}

func (p *phone) clock(s *schedule) practice.Instant {
	return practice.Instant{UnixNano: s.now.Load() + int64(p.off), Offset: 60}
}

// bodyOf draws a body of the kind that says what it is, and now and then one
// that cannot be kept.
func (s *schedule) bodyOf(kind string, mark int) kept {
	if s.IntN(12) == 0 {
		return kept{body: `{"drill":"nobody-knows-it","effort":99}`}
	}
	k := kept{sound: true}
	switch kind {
	case "try":
		k.body = fmt.Sprintf(`{"drill":"open-try","seconds":%d,"end":"over"}`, mark)
	case "tally":
		k.body = fmt.Sprintf(`{"drill":"open-try","tries":%d}`, 1+mark)
	case "session":
		pain := s.IntN(60) / 10
		k.signs = pain == 5 && s.IntN(4) == 0
		if k.signs {
			pain = 7
		}
		k.body = fmt.Sprintf(`{"week":"%s/2026-W48/2","minutes":%d,"pain":%d,"pain_site":"wrist"}`, s.who.ID, mark, pain)
	case "words":
		k.body = fmt.Sprintf(`{"drill":"open-try","keep":"%d"}`, mark)
	case "mark":
		k.body = fmt.Sprintf(`{"drill":"open-try","mark":"helped","cue":"%d"}`, mark)
	case "detour":
		k.body = fmt.Sprintf(`{"week":"%s/2026-W48/2","day":"tue","what":"skipped","reason":"%d"}`, s.who.ID, mark)
	}
	return k
}

var kinds = []string{"try", "try", "try", "try", "tally", "tally", "session", "words", "mark", "detour"}

// record logs something new on a phone.
func (s *schedule) record(p *phone) {
	kind := kinds[s.IntN(len(kinds))]
	e := &logged{id: fmt.Sprintf("%s-%s-%d", s.who.ID, p.id, len(p.entries)), kind: kind, at: p.clock(s)}
	e.versions = []kept{s.bodyOf(kind, s.IntN(60))}
	p.entries = append(p.entries, e)
	s.note("%s records %s", p.id, e.id)
}

// edit changes an entry, or undoes it.
func (s *schedule) edit(p *phone) {
	if len(p.entries) == 0 {
		return
	}
	e := p.entries[s.IntN(len(p.entries))]
	v := kept{sound: true}
	if s.IntN(3) > 0 {
		v = s.bodyOf(e.kind, s.IntN(60))
	}
	e.versions = append(e.versions, v)
	s.note("%s changes %s: %d %q", p.id, e.id, len(e.versions), v.body)
}

// leave puts a part of what waits on the line, in any order.
func (s *schedule) leave(p *phone, whole bool) {
	var part []logbook.Entry
	for _, e := range p.entries {
		if n := len(e.versions); e.answered < n && (whole || s.IntN(3) > 0) {
			part = append(part, e.sent(n))
		}
	}
	s.Shuffle(len(part), func(i, j int) { part[i], part[j] = part[j], part[i] })
	p.flying = append(p.flying, flight{p.clock(s), part})
	s.note("%s sends %d entries", p.id, len(part))
}

func (e *logged) sent(n int) logbook.Entry {
	v := e.versions[n-1]
	return logbook.Entry{ID: e.id, N: n, Kind: e.kind, At: e.at.String(), Gone: v.body == "", Body: json.RawMessage(v.body)}
}

// arrive lets one request arrive; the answer may be lost, the program may be
// killed before it has kept anything, and the request may come once more later.
func (s *schedule) arrive(p *phone, calm bool) {
	if len(p.flying) == 0 {
		return
	}
	i := s.IntN(len(p.flying))
	f := p.flying[i]
	if calm || s.IntN(4) > 0 {
		p.flying = slices.Delete(p.flying, i, i+1)
	}
	fate := s.IntN(8)
	if calm {
		fate = 7
	}
	if fate == 0 {
		s.note("%s: a request is lost", p.id)
		return
	}
	if fate == 1 {
		s.cut = errKilled
	}
	answer, err := s.book.Merge(context.Background(), s.who, logbook.Parcel{Phone: p.id, Now: f.now, Entries: f.entries})
	if fate == 1 {
		if !errors.Is(err, errKilled) {
			s.t.Fatalf("a merge that was cut off: %v", err)
		}
		s.note("%s: killed before anything was kept", p.id)
		s.restart()
		return
	}
	s.ok(err)
	s.arrived(p, f)
	if fate == 2 {
		s.note("%s: killed after all was kept, before the answer", p.id)
		s.restart()
		return
	}
	s.note("%s: answered %q", p.id, told(answer))
	s.answered(p, f, answer)
}

var errKilled = errors.New("killed")

// arrived is what the model makes of a request that arrived.
func (s *schedule) arrived(p *phone, f flight) {
	for _, sent := range f.entries {
		e := p.find(sent.ID)
		v := e.versions[sent.N-1]
		e.hurt = e.hurt || v.signs
		if !v.sound && !v.signs {
			continue
		}
		if e.shift == nil {
			off := float64(s.now.Load()-f.now.UnixNano) / 1e9
			shift := 0
			if math.Abs(off) >= 120 {
				shift = int(math.Round(off))
			}
			if late := float64(e.at.UnixNano-s.now.Load())/1e9 + float64(shift); late > 120 {
				shift = int(math.Floor(float64(s.now.Load()-e.at.UnixNano) / 1e9))
			}
			e.shift = &shift
		}
		if v.sound {
			e.best = max(e.best, sent.N)
		}
	}
}

func (p *phone) find(id string) *logged {
	return p.entries[slices.IndexFunc(p.entries, func(e *logged) bool { return e.id == id })]
}

// answered is what a phone does with an answer: every entry it sent is in it,
// once, as kept or as refused.
func (s *schedule) answered(p *phone, f flight, a logbook.Answer) {
	said := map[logbook.Version]int{}
	for _, v := range a.Kept {
		said[v]++
		if !p.find(v.ID).versions[v.N-1].sound {
			s.t.Errorf("%s %d was kept and is not sound", v.ID, v.N)
		}
	}
	for _, r := range a.Refused {
		said[r.Version]++
		if p.find(r.ID).versions[r.N-1].sound {
			s.t.Errorf("%s %d was refused: %v", r.ID, r.N, r.Fault)
		}
	}
	for _, e := range f.entries {
		v := logbook.Version{ID: e.ID, N: e.N}
		if said[v] != 1 {
			s.t.Errorf("%s %d was answered for %d times", e.ID, e.N, said[v])
		}
		p.find(e.ID).answered = max(p.find(e.ID).answered, e.N)
	}
	if len(said) != len(f.entries) {
		s.t.Errorf("%d answers for %d entries", len(said), len(f.entries))
	}
}

// both lets two phones of the student come at the same moment.
func (s *schedule) both() {
	var all sync.WaitGroup
	flights, answers := make([]flight, len(s.phones)), make([]logbook.Answer, len(s.phones))
	for i, p := range s.phones {
		s.leave(p, false)
		flights[i] = p.flying[len(p.flying)-1]
		p.flying = p.flying[:len(p.flying)-1]
		all.Go(func() {
			var err error
			answers[i], err = s.book.Merge(context.Background(), s.who, logbook.Parcel{Phone: p.id, Now: flights[i].now, Entries: flights[i].entries})
			if err != nil {
				s.t.Error(err)
			}
		})
	}
	all.Wait()
	for i, p := range s.phones {
		s.arrived(p, flights[i])
		s.answered(p, flights[i], answers[i])
	}
	s.note("both phones at once")
}

// step is one thing that happens.
func (s *schedule) step() {
	p := s.phones[s.IntN(len(s.phones))]
	s.now.Add(int64(s.IntN(int(90 * time.Second))))
	switch n := s.IntN(100); {
	case n < 35:
		s.record(p)
	case n < 50:
		s.edit(p)
	case n < 54:
		p.online = !p.online
	case n < 56:
		s.now.Add(int64(s.IntN(int(3 * 24 * time.Hour))))
	case n < 59:
		p.off = time.Duration(s.IntN(int(48*time.Hour))) - 24*time.Hour
		s.note("%s: the clock is off by %s", p.id, p.off)
	case n < 60:
		s.restart()
		s.note("restarted")
	case n < 63:
		s.both()
	case n < 80:
		if p.online {
			s.leave(p, false)
		}
	default:
		s.arrive(p, false)
	}
}

// run plays a schedule to its end: what is still on the line arrives, and the
// phones send until nothing waits.
func (s *schedule) run(steps int) {
	for range steps {
		s.step()
	}
	for _, p := range s.phones {
		for len(p.flying) > 0 {
			s.arrive(p, true)
		}
		s.leave(p, true)
		s.arrive(p, true)
	}
	s.agree()
}

// agree compares what the studio has with what the model expects.
func (s *schedule) agree() {
	var want, receipts []string
	hurt := false
	for _, p := range s.phones {
		for _, e := range p.entries {
			if e.answered != len(e.versions) {
				s.t.Errorf("%s was never answered for", e.id)
			}
			hurt = hurt || e.hurt
			if e.best == 0 && !e.hurt {
				continue
			}
			gone := e.best > 0 && e.versions[e.best-1].body == ""
			receipts = append(receipts, fmt.Sprintf("%s %s %s n%d gone %v at %s %+d", e.id, p.id, e.kind, e.best, gone, e.at, *e.shift))
			if e.best == 0 || gone {
				continue
			}
			at := e.at
			at.UnixNano += int64(*e.shift) * 1e9
			want = append(want, fmt.Sprintf("%s %s at %s", e.id, e.versions[e.best-1].body, at))
		}
	}
	r := s.studio.record(s.who.ID)
	rows, got := s.rows(r.Log), []string{}
	for _, receipt := range r.Receipts {
		got = append(got, fmt.Sprintf("%s %s %s n%d gone %v at %s %+d", receipt.ID, receipt.Phone, receipt.Kind, receipt.N, receipt.Gone, receipt.At, receipt.Shift))
	}
	for name, pair := range map[string][2][]string{"rows": {rows, want}, "receipts": {got, receipts}} {
		slices.Sort(pair[0])
		slices.Sort(pair[1])
		if !slices.Equal(pair[0], pair[1]) {
			s.t.Errorf("%s:\nstudio: %s\nphones: %s", name, strings.Join(pair[0], "\n\t"), strings.Join(pair[1], "\n\t"))
		}
	}
	stops := 0
	if hurt {
		stops = 1
	}
	if len(r.Student.Value.Stops) != stops {
		s.t.Errorf("%d stops, want %d", len(r.Student.Value.Stops), stops)
	}
}

// rows are the rows of the log as the phones would have told them.
func (s *schedule) rows(l practice.Log) (out []string) {
	add := func(id string, at practice.Instant, format string, args ...any) {
		out = append(out, fmt.Sprintf("%s %s at %s", id, fmt.Sprintf(format, args...), at))
	}
	for _, v := range l.Attempts {
		add(v.ID, v.At, `{"drill":"%s","seconds":%g,"end":"%s"}`, v.Drill, v.Seconds.Value, v.End)
	}
	for _, v := range l.Tallies {
		add(v.ID, v.At, `{"drill":"%s","tries":%d}`, v.Drill, v.Tries)
	}
	for _, v := range l.Sessions {
		add(v.ID, v.At, `{"week":"%s/%s/%d","minutes":%g,"pain":%g,"pain_site":"%s"}`, v.Student, v.Week, v.Version, v.Minutes.Value, v.Pain.Value, v.PainSite)
	}
	for _, v := range l.Words {
		add(v.ID, v.At, `{"drill":"%s","keep":"%s"}`, v.Drill, v.Keep)
	}
	for _, v := range l.Marks {
		add(v.ID, v.At, `{"drill":"%s","mark":"%s","cue":"%s"}`, v.Drill, v.Mark, v.Cue)
	}
	for _, v := range l.Detours {
		add(v.ID, v.At, `{"week":"%s/%s/%d","day":"%s","what":"%s","reason":"%s"}`, v.Student, v.Week, v.Version, v.Day, v.What, v.Reason)
	}
	return out
}

// play plays one schedule and says how many entries it had, in how many
// versions.
func play(t *testing.T, st *studio, seed uint64) (entries, versions int) {
	s := &schedule{studio: st, Rand: rand.New(rand.NewPCG(seed, 7)), phones: []*phone{{id: "k1", online: true}, {id: "k2", online: true}}}
	s.who = st.admit(practice.Student{ID: fmt.Sprintf("s%d", seed)})
	s.run(20 + s.IntN(60))
	if t.Failed() {
		t.Fatalf("schedule %d:\n%s", seed, strings.Join(s.trace, "\n"))
	}
	for _, p := range s.phones {
		entries += len(p.entries)
		for _, e := range p.entries {
			versions += len(e.versions)
		}
	}
	return entries, versions
}

// studios are how many studios play side by side: most of the time is spent
// waiting for the disk.
const studios = 8

// schedulesIn is how many schedules an ordinary run plays; APLOMB_SCHEDULES
// asks for more.
const schedulesIn = 200

// TestSchedules plays random histories: two phones that record, edit, undo, go
// offline, send in part, again and in any order, with clocks that are wrong and
// change, over a program that is stopped, started and killed before and after
// it has kept what arrived. At the end studio and phones agree: each entry is
// there once, as its highest version that can be kept says, at its own time,
// and none that was undone.
func TestSchedules(t *testing.T) {
	count := schedulesIn
	if testing.Short() {
		count = schedulesIn / 5
	}
	if asked := os.Getenv("APLOMB_SCHEDULES"); asked != "" {
		var err error
		if count, err = strconv.Atoi(asked); err != nil {
			t.Fatal(err)
		}
	}
	for part := range studios {
		t.Run(strconv.Itoa(part), func(t *testing.T) {
			t.Parallel()
			st := newStudio(t)
			played, entries, versions := 0, 0, 0
			for seed := part; seed < count; seed += studios {
				e, v := play(t, st, uint64(seed))
				played, entries, versions = played+1, entries+e, versions+v
			}
			t.Logf("%d schedules, %d entries in %d versions", played, entries, versions)
			if versions <= entries || entries < played {
				t.Error("the schedules are empty")
			}
		})
	}
}
