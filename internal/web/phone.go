package web

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"maps"
	"net/http"
	"path"
	"slices"

	"aplomb/internal/practice"
	"aplomb/internal/words"

	"golang.org/x/text/language"
)

// tongues finds the language that suits best of those there is a book of;
// English where none does.
var tongues = newTongues()

func newTongues() language.Matcher {
	tags := []language.Tag{language.English}
	for _, code := range slices.Sorted(maps.Keys(words.Books)) {
		if code != "en" {
			tags = append(tags, language.MustParse(code))
		}
	}
	return language.NewMatcher(tags)
}

// inTongue goes on in the language the browser asks for, as far as there is a
// book of it.
func (v *visit) inTongue() {
	tag, _ := language.MatchStrings(tongues, v.r.Header.Get("Accept-Language"))
	base, _ := tag.Base()
	if book, ok := words.Books[base.String()]; ok {
		s := *v.Server
		s.Words = book
		v.Server, v.lang = &s, base.String()
	}
}

// asStudent turns away who is linked and no student: a guardian has no phone
// here.
func (v *visit) asStudent() error {
	if v.who().Role != practice.AsStudent {
		return practice.Refused(practice.LogPractice)
	}
	return nil
}

// phonePlanJSON is the plan for the phone; a phone that has it gets nothing.
func phonePlanJSON(v *visit) error {
	if err := v.asStudent(); err != nil {
		return err
	}
	p, err := v.plan()
	if err != nil {
		return err
	}
	tag := `"` + p.Tag + `"`
	v.w.Header().Set("ETag", tag)
	v.w.Header().Set("Cache-Control", "private, no-cache")
	v.w.Header().Set("Vary", "Accept-Language, Cookie")
	if v.r.Header.Get("If-None-Match") == tag {
		v.w.WriteHeader(http.StatusNotModified)
		return nil
	}
	return v.json(http.StatusOK, p)
}

// ownFigure is the drawing of a drill for a student.
func ownFigure(v *visit) error {
	if v.r.URL.Query().Get("v") == version {
		v.w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
	}
	return figure(v)
}

// sessionPage is the shell of the session: the same for everybody, since the
// phone keeps it; what is in it comes from the plan.
func sessionPage(v *visit) error {
	if err := v.asStudent(); err != nil {
		return err
	}
	return v.render(http.StatusOK, "session", phoneShell{frame{Title: v.Words.Say("phone.session"), book: v.Words, Lang: v.lang}})
}

// phoneShell is the page a session runs in.
type phoneShell struct{ frame }

// Text is a sentence for where there is no plan to take it from.
func (p phoneShell) Text(id string) string { return p.book.Say("phone." + id) }

// Modules are the scripts of the session, to be fetched at once.
func (phoneShell) Modules() []string {
	return slices.DeleteFunc(slices.Clone(phoneModules), func(name string) bool { return name == "phone/home.js" })
}

// phoneModules are the scripts of the phone, but its service worker.
var phoneModules = mustModules()

func mustModules() (out []string) {
	names, err := fs.Glob(staticFiles, "static/phone/*.js")
	if err != nil {
		panic("web: " + err.Error())
	}
	for _, name := range names {
		if base := path.Base(name); base != "sw.js" {
			out = append(out, "phone/"+base)
		}
	}
	return out
}

// manifest says how the student's pages stand on a phone's first screen
// (Web Application Manifest, W3C).
func manifest(v *visit) error {
	v.inTongue()
	icon := func(file, sizes, kind, purpose string) map[string]string {
		return map[string]string{"src": "/static/" + version + "/" + file, "sizes": sizes, "type": kind, "purpose": purpose}
	}
	v.w.Header().Set("Content-Type", "application/manifest+json")
	v.w.Header().Set("Vary", "Accept-Language")
	return json.NewEncoder(v.w).Encode(map[string]any{
		"id": "/me", "start_url": "/me", "scope": "/me", "display": "standalone", "lang": v.lang, "name": "aplomb", "short_name": "aplomb",
		"description": v.Words.Say("phone.app"), "background_color": "#f7f4ee", "theme_color": "#f7f4ee",
		"icons": []map[string]string{icon("bob.svg", "any", "image/svg+xml", "any"), icon("icon-192.png", "192x192", "image/png", "any"),
			icon("icon-512.png", "512x512", "image/png", "any")},
	})
}

// serviceWorker is the script that answers where there is no line. Its first
// lines name what belongs to this version, so that every new version is
// another script.
func serviceWorker(v *visit) error {
	raw, err := staticFiles.ReadFile("static/phone/sw.js")
	if err != nil {
		return err
	}
	files := []string{"/me/session", "/manifest.webmanifest"}
	for _, name := range append([]string{"aplomb.css", "pictures.css", "phone/phone.css", "bob.svg", "atkinson-hyperlegible-latin-400-normal.woff2",
		"atkinson-hyperlegible-latin-700-normal.woff2"}, phoneModules...) {
		files = append(files, "/static/"+version+"/"+name)
	}
	list, err := json.Marshal(files)
	if err != nil {
		return err
	}
	v.w.Header().Set("Content-Type", "text/javascript; charset=utf-8")
	v.w.Header().Set("Cache-Control", "no-cache")
	var b bytes.Buffer
	b.WriteString("const VERSION = \"" + version + "\";\nconst SHELL = " + string(list) + ";\n")
	b.Write(raw)
	_, err = v.w.Write(b.Bytes())
	return err
}

// phoneFile serves a file of the phone.
func phoneFile(v *visit) error { return v.file("phone/" + path.Base(v.r.PathValue("file"))) }
