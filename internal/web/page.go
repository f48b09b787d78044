package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"encoding/json"
	"errors"
	"html/template"
	"io/fs"
	"net/http"
	"net/url"
	"path"
	"strings"

	"aplomb/internal/picture"
	"aplomb/internal/practice"
	"aplomb/internal/telling"
	"aplomb/internal/words"
)

//go:embed page/*.html
var pageFiles embed.FS

//go:embed static
var staticFiles embed.FS

// templates are the pages by name, each with the frame around it.
var templates = mustParse()

func mustParse() map[string]*template.Template {
	all := map[string]*template.Template{}
	names, err := fs.Glob(pageFiles, "page/*.html")
	if err != nil {
		panic("web: " + err.Error())
	}
	for _, name := range names {
		if base := path.Base(name); !strings.HasPrefix(base, "_") {
			all[strings.TrimSuffix(base, ".html")] = template.Must(template.ParseFS(pageFiles, "page/_*.html", name))
		}
	}
	return all
}

// version is the start of the SHA-256 of everything in static: an address with
// it never changes its content.
var version = mustVersion()

func mustVersion() string {
	sum := sha256.New()
	err := fs.WalkDir(staticFiles, "static", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		raw, err := staticFiles.ReadFile(name)
		sum.Write([]byte(name))
		sum.Write(raw)
		return err
	})
	if err != nil {
		panic("web: " + err.Error())
	}
	sum.Write([]byte(picture.Sheet()))
	return hex.EncodeToString(sum.Sum(nil))[:16]
}

// pictureSheet is the style sheet of the pictures, which picture writes.
const pictureSheet = "static/pictures.css"

// static serves a file of ours.
func static(v *visit) error { return v.file(path.Base(v.r.PathValue("file"))) }

// file serves a file below static.
func (v *visit) file(name string) error {
	name = path.Join("static", name)
	raw, err := staticFiles.ReadFile(name)
	switch {
	case name == pictureSheet:
		raw = []byte(picture.Sheet())
	case err != nil:
		return errNoPage
	}
	kinds := map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".woff2": "font/woff2",
		".svg": "image/svg+xml", ".png": "image/png", ".txt": "text/plain; charset=utf-8", ".md": "text/plain; charset=utf-8"}
	v.w.Header().Set("Content-Type", kinds[path.Ext(name)])
	if v.r.PathValue("version") == version {
		v.w.Header().Set("Cache-Control", "public, max-age=31536000, immutable")
	}
	_, err = v.w.Write(raw)
	return err
}

// tab is one entry of the bar at the top.
type tab struct {
	Href, Label string
	Here        bool
}

// frame is what is around every page.
type frame struct {
	Title  string
	Studio string
	Name   string
	Tabs   []tab
	In     bool
	Lang   string // of the page, ISO 639-1; empty: English
	book   *words.Book
}

// Say is a sentence of the pages.
func (f frame) Say(id string, pairs ...any) string { return f.book.Say("web."+id, pairs...) }

// Caution is the short caution every plan carries.
func (f frame) Caution() string { return f.book.Say("caution") }

// Static is the address of a file of ours.
func (f frame) Static(file string) string { return "/static/" + version + "/" + file }

// Day is a day as a person reads it.
func (f frame) Day(d practice.Date) string { return telling.LongDate(f.book, d) }

// frame is the frame of this visit.
func (v *visit) frame(title string, pairs ...any) frame {
	f := frame{Title: v.say(title, pairs...), book: v.Words, Lang: v.lang}
	if v.in == nil {
		return f
	}
	f.In, f.Studio, f.Name = true, v.in.Studio.Name, v.in.Name
	add := func(href, label string) {
		f.Tabs = append(f.Tabs, tab{href, v.say("tab." + label), v.below(href)})
	}
	if !v.in.Staff() {
		if v.who().Role == practice.AsStudent {
			add("/me", "week")
			add("/me/progress", "progress")
			add("/me/notes", "notes")
			add("/me/agreed", "agreed")
		}
		return f
	}
	add("/", "students")
	add("/groups", "groups")
	add("/drills", "drills")
	if v.who().Role.May(practice.RunStudio, practice.Other) {
		add("/people", "people")
	}
	if v.who().Role.May(practice.AddStudent, practice.Other) {
		add("/records", "records")
	}
	add("/account", "account")
	return f
}

// below says whether the visit is to a tab or to a page that belongs to it.
func (v *visit) below(href string) bool {
	at := v.r.URL.Path
	switch href {
	case "/":
		return at == href || strings.HasPrefix(at, "/students/")
	case "/me":
		return at == href || strings.HasPrefix(at, "/me/day/")
	}
	return at == href || strings.HasPrefix(at, href+"/")
}

// field is one line of a form: what it is called, what was typed, and what is
// wrong with it.
type field struct {
	Name, Label, Kind, Value, Auto, Hint, Fault string
	Options                                     []option
}

type option struct {
	Value, Label string
	Chosen       bool
}

// faulty reads what is wrong with the fields of a form; ok is false where the
// error is about something else.
func (v *visit) faulty(err error) (at map[string]string, ok bool) {
	var fs practice.Faults
	var one practice.Fault
	switch {
	case errors.As(err, &fs):
	case errors.As(err, &one) && (one.Code == practice.ExistsAlready || one.Code == practice.OutOfRange):
		fs = practice.Faults{one}
	default:
		return nil, false
	}
	at = map[string]string{}
	for _, f := range fs {
		if at[f.Field] == "" {
			at[f.Field] = v.fault(f)
		}
	}
	return at, true
}

// fault is the sentence for one field: the page's own where it has one.
func (v *visit) fault(f practice.Fault) string {
	for _, id := range []string{"web.fault." + f.Field + "." + string(f.Code), "web.fault." + f.Field} {
		if v.Words.Has(id) {
			return v.Words.Say(id)
		}
	}
	f.Field = ""
	return v.Words.Fault(f)
}

// form reads the fields of a POST.
func (v *visit) form() error {
	if err := v.r.ParseForm(); err != nil {
		return errors.Join(errBadForm, err)
	}
	return nil
}

// typed is what stands in a field of the form.
func (v *visit) typed(name string) string { return v.r.PostForm.Get(name) }

// json writes an answer for the passkey script.
func (v *visit) json(status int, answer any) error {
	v.w.Header().Set("Content-Type", "application/json")
	v.w.WriteHeader(status)
	return json.NewEncoder(v.w).Encode(answer)
}

// next keeps where the browser wanted to go, for after the sign-in.
func next(r *http.Request) string {
	to := r.URL.Path
	if r.Method != http.MethodGet {
		to = "/account"
	}
	if to == "/" {
		return ""
	}
	return "?next=" + url.QueryEscape(to)
}

// local is the address to go on to: one of ours, or the first page.
func local(to string) string {
	u, err := url.Parse(to)
	if err != nil || !strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//") || strings.ContainsAny(to, "\\\r\n\t") || u.Host != "" || u.Scheme != "" {
		return "/"
	}
	return to
}
