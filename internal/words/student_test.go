package words

import (
	"encoding/json"
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"
)

// studentReads are the sentences of a student's own pages and of the phone: an
// id, or with a dot at its end the start of ids.
var studentReads = []string{
	"and", "or", "day.", "month.", "date", "date.", "range", "range.", "strain.", "caution", "phone.",
	"web.skip", "web.nav", "web.signout", "web.tab.week", "web.tab.progress", "web.tab.notes", "web.tab.agreed",
	"web.open.title", "web.open.hello", "web.open.student", "web.open.guardian", "web.open.as", "web.open.own", "web.open.own.",
	"web.me.", "web.consent.", "web.own.week.", "web.own.start", "web.own.day.", "web.own.progress.", "web.own.moved", "web.own.curve", "web.own.next",
	"web.own.tries", "web.own.tries.", "web.own.notes", "web.own.notes.", "web.own.cues", "web.own.cues.",
	"web.sync.", "web.error.title", "web.error.home", "web.error.page", "web.error.link", "web.error.refused", "web.error.changed", "web.error.often",
	"web.error.large", "web.error.form", "web.error.busy", "web.error.full", "web.error.ours", "web.error.signed-out", "web.error.signed-out.",
	"web.student.curve.alt", "web.student.tries", "web.table", "web.table.seconds", "web.table.share", "web.table.day", "web.table.hold", "web.table.cold",
	"web.table.yes", "web.note.note", "web.note.lesson", "web.note.stop", "web.note.restriction", "web.note.pain", "web.note.screen", "web.note.minutes",
	"since.", "review.unknown", "review.unknown.", "review.stale", "review.chance", "review.window", "review.window.", "review.excluded",
	"review.median", "review.median.", "review.proven", "review.proven.", "review.next", "review.next.", "review.places", "review.bound",
	"review.missing", "review.missing.", "review.mismarked", "review.forecast", "review.forecast.", "item.tries", "dose.", "shown.",
}

// tongue is a language that is complete for a student, and what is known of it.
type tongue struct {
	code    string
	address []string // words that address the student otherwise than agreed
	shares  []string // words of its own that look like common English ones
	care    []meant
}

// meant is a word of English on which somebody's safety hangs, and what has to
// stand for it.
type meant struct{ english, own string }

// tongues are the languages a student may read everything in.
var tongues = []tongue{{
	code: "es",
	// "tú", and Spanish that Spain and Latin America read alike: no "usted", no
	// "vosotros", no "vos"; and one name for the handstand.
	address: []string{"usted", "ustedes", "vosotros", "vosotras", "vos", "os", "vuestro", "vuestra", "sos", "pino"},
	care: []meant{
		{`upside down`, `cabeza abajo`}, {`dizzy`, `mare`}, {`(?i)\bnumb(ness|\b)`, `(?i)entumec`}, {`(?i)swell|swollen`, `(?i)hinch`},
		{`(?i)practised (a turn|turning out)`, `salida con giro|un giro`}, {`(?i)\bturns? out`, `(?i)\bsal\w* girando|\bsalida con giro`},
		{`(?i)\bhurt|\bpain|\bsore`, `(?i)duel|dolor|dolid|dolió`}, {`(?i)pinch`, `(?i)pellizc|pellizqu`},
		{`(?i)step down`, `(?i)baj`}, {`straight elbows|elbows straight`, `codos rectos`}, {`(?i)clear floor`, `despejad`},
		{`one foot at a time`, `un pie (y luego el otro|cada vez)`}, {`exit side`, `lado de salida`}, {`(?i)\bnever\b`, `(?i)nunca|no`},
		{`(?i)spotter`, `(?i)ayud`}, {`no weight on (the|your) hands`, `(?i)(sin|nada de) peso en las manos|no llevan peso`}, {`(?i)doctor`, `(?i)médic`}, {`physiotherapist`, `fisioterapia`},
		{`(?i)wrist`, `(?i)muñeca`}, {`(?i)elbow`, `(?i)codo`}, {`(?i)shoulders?\b[^-]`, `(?i)hombro|escápula`}, {`(?i)\bneck`, `cuello`},
		{`lower back`, `lumbar`}, {`heels? of (the|both) hands?`, `talon|talón`},
		{`(?i)chest to (the )?wall`, `(?i)pecho (a|hacia) la pared`},
	},
}, {
	code: "de",
	// "du": see also TestGermanSaysDu, since only a capital tells "Sie" from "sie".
	address: []string{"euch", "euer", "eure", "euren"},
	shares:  []string{"was", "coach"},
	care: []meant{
		{`upside down`, `(?i)kopfüber`}, {`dizzy`, `schwindlig`}, {`(?i)\bnumb(ness|\b)`, `(?i)taub`}, {`(?i)swell|swollen`, `(?i)schwell|schwoll`},
		{`(?i)practised (a turn|turning out)`, `das Abdrehen noch nicht .*geübt`}, {`(?i)\bturns? out`, `(?i)\bdreh\S* .*\bab\b|ab(zu|ge)?dreh`},
		{`(?i)\bhurt|\bpain|\bsore`, `(?i)weh|schmerz|empfindlich|melden`}, {`(?i)pinch`, `(?i)zwick`},
		{`(?i)step down`, `(?i)st(ei|ie)g|absetz|Füße ab|Fuß für Fuß herunter`}, {`straight elbows|elbows straight`, `(?i)ellbogen`}, {`(?i)clear floor`, `(?i)freie[rmn]? (Boden|Platz)`},
		{`one foot at a time`, `einen (Fuß )?nach dem anderen`}, {`exit side`, `Ausstiegsseite`}, {`(?i)\bnever\b`, `(?i)\bnie\b`},
		{`(?i)spotter`, `(?i)hilfestellung|helfende`}, {`no weight on (the|your) hands`, `(?i)kein Gewicht auf (die|den) Händen?|ohne Gewicht auf|ganz ohne Gewicht|kein Gewicht tragen`}, {`(?i)doctor`, `(?i)arzt|ärzt`}, {`physiotherapist`, `Physiotherapie`},
		{`(?i)wrist`, `(?i)handgelenk|handkreisen`}, {`(?i)elbow`, `(?i)ellbogen`}, {`(?i)shoulders?\b[^-]`, `(?i)schulter`}, {`(?i)\bneck`, `(?i)nacken|hals`},
		{`lower back`, `(?i)unter\S+ Rücken`}, {`heels? of (the|both) hands?`, `(?i)ballen`},
		{`(?i)chest to (the )?wall`, `(?i)Bauch zur Wand`},
	},
}}

// line is a text in English and in another language.
type line struct{ where, english, own string }

// theirs is every text of a student in this language beside the English one;
// what is not there is told as a fault.
func (l tongue) theirs(t *testing.T) (out []line) {
	t.Helper()
	for _, dir := range []string{"drills", "probes"} {
		for _, name := range glob("en/" + dir + "/*.json") {
			file := dir + "/" + path.Base(name)
			out = append(out, beside(t, file, parsed(t, "en/"+file), parsed(t, l.code+"/"+file))...)
		}
	}
	own := mustLoad(l.code)
	for id, english := range English.lines {
		if !reads(id) {
			continue
		}
		if own.lines[id] == "" {
			t.Errorf("%s does not say %s: %q", l.code, id, english)
			continue
		}
		out = append(out, line{id, english, own.lines[id]})
	}
	return out
}

func reads(id string) bool {
	return slices.ContainsFunc(studentReads, func(p string) bool {
		return id == p || id == p+".fix" || strings.HasSuffix(p, ".") && strings.HasPrefix(id, p)
	})
}

func parsed(t *testing.T, name string) (v any) {
	t.Helper()
	raw, err := files.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatal(name, err)
	}
	return v
}

// beside walks both and puts the texts of the same place side by side.
func beside(t *testing.T, where string, english, own any) (out []line) {
	t.Helper()
	switch e := english.(type) {
	case string:
		if o, ok := own.(string); ok && o != "" {
			return []line{{where, e, o}}
		}
		t.Errorf("%s: nothing for %q", where, e)
	case []any:
		o, ok := own.([]any)
		if !ok || len(o) != len(e) {
			t.Errorf("%s: %d texts, %d in English", where, len(o), len(e))
			return nil
		}
		for i := range e {
			out = append(out, beside(t, fmt.Sprintf("%s[%d]", where, i), e[i], o[i])...)
		}
	case map[string]any:
		o, _ := own.(map[string]any)
		for key := range o {
			if _, ok := e[key]; !ok {
				t.Errorf("%s: %s is not in English", where, key)
			}
		}
		for key := range e {
			out = append(out, beside(t, where+"."+key, e[key], o[key])...)
		}
	}
	return out
}

// The list of what a student reads names nothing that is not there.
func TestWhatAStudentReadsIsThere(t *testing.T) {
	for _, p := range studentReads {
		if !strings.HasSuffix(p, ".") && !English.Has(p) {
			t.Errorf("no sentence %s", p)
		}
		if strings.HasSuffix(p, ".") && len(English.Under(p)) == 0 {
			t.Errorf("no sentence begins with %s", p)
		}
	}
}

var (
	figures = regexp.MustCompile(`[0-9]+([.,][0-9]+)?`)
	slots   = regexp.MustCompile(`\{[^}]*\}`)
)

// slotNames are the names a sentence is filled with, each once, in order.
func slotNames(s string) (out []string) {
	for _, slot := range slots.FindAllString(s, -1) {
		name, _, _ := strings.Cut(strings.Trim(slot, "{}"), "|")
		out = append(out, name)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func figuresOf(s string) []string {
	out := figures.FindAllString(slots.ReplaceAllString(s, ""), -1)
	for i := range out {
		out[i] = strings.Replace(out[i], ",", ".", 1) // 128.5 is 128,5 where a comma is the decimal sign
	}
	slices.Sort(out)
	return out
}

// Everything a student reads is there, says the same figures, is filled with
// the same values, and begins and ends alike.
func TestAStudentReadsEverything(t *testing.T) {
	for _, l := range tongues {
		texts := l.theirs(t)
		t.Logf("%s: %d texts", l.code, len(texts))
		for _, x := range texts {
			if e, o := figuresOf(x.english), figuresOf(x.own); !slices.Equal(e, o) {
				t.Errorf("%s: figures %v, in English %v: %q", x.where, o, e, x.own)
			}
			if e, o := slotNames(x.english), slotNames(x.own); !slices.Equal(e, o) {
				t.Errorf("%s: filled with %v, in English with %v", x.where, o, e)
			}
			for _, slot := range slots.FindAllString(x.own, -1) {
				if n := strings.Count(slot, "|"); n != 0 && n != 2 {
					t.Errorf("%s: %s wants two forms", x.where, slot)
				}
			}
			if strings.TrimSpace(x.own) == x.own != (strings.TrimSpace(x.english) == x.english) || ends(x.own) != ends(x.english) {
				t.Errorf("%s: %q begins or ends otherwise than %q", x.where, x.own, x.english)
			}
		}
	}
}

// ends is how a text ends: the full stop, colon or mark of a sentence, or none.
func ends(s string) string {
	r, _ := utf8.DecodeLastRuneInString(s)
	if strings.ContainsRune(".:?!", r) {
		return string(r)
	}
	return ""
}

// Nothing is left over in a language's folder that the program does not say.
func TestNoTongueSaysMoreThanEnglish(t *testing.T) {
	for _, l := range tongues {
		own := mustLoad(l.code)
		for id := range own.lines {
			if !English.Has(id) {
				t.Errorf("%s says %s, English does not", l.code, id)
			}
		}
		for id := range own.drills {
			if English.Drill(id).Name == "" {
				t.Errorf("%s tells of the drill %s, English does not", l.code, id)
			}
		}
	}
}

// common are words that most English sentences have, and that are no words of
// the other languages.
var common = strings.Fields(`the of and with your you from that this these when until each then than hands feet foot wall floor shoulder shoulders
 is are was were be been it its not for to hold kick try tries week weeks coach student session drill wrist wrists elbow elbows knees hips
 both while which what there here they them their at by or out over off down`)

// No English is left over, and the student is addressed as agreed.
func TestNoEnglishIsLeft(t *testing.T) {
	for _, l := range tongues {
		for _, x := range l.theirs(t) {
			if x.own == x.english && strings.ContainsFunc(slots.ReplaceAllString(x.own, ""), unicode.IsLetter) && !alike[x.own] {
				t.Errorf("%s: %q is English", x.where, x.own)
			}
			for _, w := range wordsOf(x.own) {
				if slices.Contains(common, w) && !slices.Contains(l.shares, w) || slices.Contains(l.address, w) {
					t.Errorf("%s: %q in %q", x.where, w, x.own)
				}
			}
		}
	}
}

// alike are texts that stand for the same in more than one language: units,
// names of months and the like.
var alike = map[string]bool{"{kind}, {minutes} min": true, "{minutes} min": true, "{n} s": true, "{sets} x {seconds} s": true, "No": true, "{day}: {say}": true,
	"April": true, "August": true, "September": true, "November": true, "Start": true, "Warm": true}

func wordsOf(s string) []string {
	s = slots.ReplaceAllStringFunc(s, func(slot string) string {
		_, forms, _ := strings.Cut(strings.Trim(slot, "{}"), "|")
		return strings.ReplaceAll(forms, "|", " ")
	})
	return strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) })
}

// What somebody's safety hangs on is said in the other language as well.
func TestCareIsExact(t *testing.T) {
	for _, l := range tongues {
		texts := l.theirs(t)
		for _, m := range l.care {
			english, own, n := regexp.MustCompile(m.english), regexp.MustCompile(m.own), 0
			for _, x := range texts {
				if !english.MatchString(x.english) {
					continue
				}
				n++
				if !own.MatchString(x.own) {
					t.Errorf("%s: %q stands for %q, without %s", x.where, x.own, x.english, m.own)
				}
			}
			if n == 0 {
				t.Errorf("%s: no English text has %s", l.code, m.english)
			}
		}
	}
}

// Texts fit where they stand, and every drill has a name of its own.
func TestTheirTextsFit(t *testing.T) {
	for _, l := range tongues {
		own, names := mustLoad(l.code), map[string]string{}
		for id, d := range own.drills {
			if twin := names[d.Name]; twin != "" {
				t.Errorf("%s and %s are both called %q", id, twin, d.Name)
			}
			names[d.Name] = id
			fit(t, id, 110, d.Purpose)
			fit(t, id, 130, d.Steps...)
			for _, cue := range d.Cues {
				fit(t, id, 100, cue)
			}
		}
	}
}

// fit checks that texts are sentences of at most so many letters.
func fit(t *testing.T, id string, most int, texts ...string) {
	t.Helper()
	for _, s := range texts {
		first, _ := utf8.DecodeRuneInString(strings.TrimLeft(s, "¿¡«„"))
		if n := utf8.RuneCountInString(s); n > most || !unicode.IsUpper(first) {
			t.Errorf("%s: %d letters, at most %d: %q", id, n, most, s)
		}
	}
}
