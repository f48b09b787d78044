package web

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"aplomb/internal/practice"
)

// send sends a file as somebody.
func (h *hall) send(as, path, field, name, content string) *httptest.ResponseRecorder {
	h.t.Helper()
	var body bytes.Buffer
	m := multipart.NewWriter(&body)
	part, err := m.CreateFormFile(field, name)
	h.ok(err)
	_, err = part.Write([]byte(content))
	h.ok(errors.Join(err, m.Close()))
	r := httptest.NewRequest(http.MethodPost, path, &body)
	r.Host, r.RemoteAddr = h.site.Host, "127.0.0.1:5000"
	r.Header.Set("Content-Type", m.FormDataContentType())
	r.AddCookie(&http.Cookie{Name: "aplomb", Value: h.in[as]})
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w
}

// has fails where an answer has another status, or lacks a text, or has one it
// should not: those begin with a !.
func has(t *testing.T, w *httptest.ResponseRecorder, status int, texts ...string) {
	t.Helper()
	if w.Code != status {
		t.Fatalf("%d, want %d: %s", w.Code, status, w.Body)
	}
	for _, text := range texts {
		not, negated := strings.CutPrefix(text, "!")
		if strings.Contains(w.Body.String(), not) == negated {
			t.Errorf("%q: %s", text, w.Body)
		}
	}
}

// While a cover holds the colleague's desk and pages have the student, and not
// a day longer.
func TestCoveredStudentsAreOnTheDesk(t *testing.T) {
	h := peopled(t)
	has(t, h.ask("una", "GET", "/", nil), 200, "Otto Lind", "!Mira Vane")
	days := url.Values{"for": {h.ids["tom"]}, "by": {h.ids["una"]}, "student": {"mira"}, "from": {"2026-06-01"}, "to": {"2026-06-02"}}
	has(t, h.ask("tom", "POST", "/covers", days), 303)
	has(t, h.ask("una", "GET", "/", nil), 200, "Otto Lind", "Mira Vane")
	has(t, h.ask("una", "GET", "/students/mira", nil), 200, "Mira Vane")
	has(t, h.ask("una", "GET", "/records?find=vane", nil), 200, "/students/mira/trail")
	has(t, h.ask("una", "GET", "/covers", nil), 200, "Una for Tom", "Only Mira Vane.")
	h.clock = h.clock.Add(47 * time.Hour) // two days on
	has(t, h.ask("una", "GET", "/", nil), 200, "Otto Lind", "!Mira Vane")
	has(t, h.ask("una", "GET", "/students/mira", nil), 403)

	days.Set("to", "2026-06-09")
	has(t, h.ask("ines", "POST", "/covers", days), 303)
	has(t, h.ask("una", "GET", "/", nil), 200, "Mira Vane")
	covers, err := h.store.Covers(t.Context(), practice.Who{Studio: "millgate-hall"})
	if err != nil || len(covers) != 2 {
		t.Fatal(covers, err)
	}
	has(t, h.ask("una", "POST", "/covers/end", url.Values{"id": {covers[1].Value.ID}}), 403)
	has(t, h.ask("tom", "POST", "/covers/end", url.Values{"id": {covers[1].Value.ID}}), 303)
	has(t, h.ask("una", "GET", "/", nil), 200, "!Mira Vane")
}

// A cover that cannot be stands in the form again, as it was typed.
func TestFaultyCoverIsKept(t *testing.T) {
	h := peopled(t)
	has(t, h.ask("tom", "POST", "/covers", url.Values{"for": {h.ids["tom"]}, "by": {h.ids["asa"]}, "from": {"2026-06-01"}, "to": {"2026-06-02"}}), 422,
		"Choose somebody who coaches here today.", `value="2026-06-02"`)
}

// What takes records out of the studio, or away for good, asks for a sign-in of
// just now, and says where to sign in.
func TestRecordsAskForAFreshSignIn(t *testing.T) {
	h := peopled(t)
	h.clock = h.clock.Add(16 * time.Minute)
	for _, path := range []string{"/records/folder", "/records/backups/a.backup", "/students/mira/export", "/students/mira/forget"} {
		has(t, h.ask("ines", "GET", path, nil), 403, "Show first that it is still you.", "/sign-in?next="+url.QueryEscape(path))
	}
	has(t, h.ask("ines", "POST", "/students/mira/forget", url.Values{"name": {"Mira Vane"}}), 403)
	has(t, h.send("ines", "/records/folder", "folder", "a.zip", "zip"), 403)
	if _, err := h.store.Student(t.Context(), practice.Who{Studio: "millgate-hall"}, "mira"); err != nil {
		t.Errorf("erased without a sign-in: %v", err)
	}
	has(t, h.ask("ines", "POST", "/records/backups", nil), 303)
}

// A file may take longer to come in than a page may, for who has passed the
// door; for others the limit of the connection stays.
func TestSlowFiles(t *testing.T) {
	h := peopled(t)
	server := httptest.NewUnstartedServer(h.Server)
	server.Config.ReadTimeout = 200 * time.Millisecond
	server.Start()
	defer server.Close()
	for as, want := range map[string]int{"ines": 200, "una": 403} {
		body, typed := io.Pipe()
		m := multipart.NewWriter(typed)
		go func() {
			part, err := m.CreateFormFile("backup", "a.backup")
			for _, piece := range []string{"sea", "led"} {
				if err == nil {
					_, err = io.WriteString(part, piece)
				}
				time.Sleep(2 * server.Config.ReadTimeout)
			}
			typed.CloseWithError(errors.Join(err, m.Close()))
		}()
		r, err := http.NewRequest(http.MethodPost, server.URL+"/records/check", body)
		h.ok(err)
		r.Host = h.site.Host
		r.Header.Set("Content-Type", m.FormDataContentType())
		r.Header.Set("Accept-Encoding", "gzip") // by every wrapper of the answer there is
		r.AddCookie(&http.Cookie{Name: "aplomb", Value: h.in[as]})
		answer, err := http.DefaultClient.Do(r)
		h.ok(err)
		answer.Body.Close()
		if answer.StatusCode != want {
			t.Errorf("%s: %s", as, answer.Status)
		}
	}
}

// No more is read of a request than its route may send: a folder of one byte
// too much is refused, and so is every other form long before.
func TestTooMuchIsRefused(t *testing.T) {
	h := peopled(t)
	const form = "--b\r\nContent-Disposition: form-data; name=\"folder\"; filename=\"a\"\r\n\r\n"
	for path, most := range map[string]int64{folderPath: maxFolder, "/account/name": maxBody} {
		body := io.MultiReader(strings.NewReader(form), io.LimitReader(endless{}, most-int64(len(form))+1))
		r := httptest.NewRequest(http.MethodPost, path, body)
		r.Host, r.RemoteAddr = h.site.Host, "127.0.0.1:5000"
		r.Header.Set("Content-Type", map[bool]string{true: "multipart/form-data; boundary=b", false: "application/x-www-form-urlencoded"}[path == folderPath])
		r.AddCookie(&http.Cookie{Name: "aplomb", Value: h.in["ines"]})
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		has(t, w, http.StatusRequestEntityTooLarge, "That is too much at once.")
	}
	if got := mostOf(httptest.NewRequest(http.MethodPost, checkPath, nil)); got != maxBackup {
		t.Errorf("of a backup %d bytes are read", got)
	}
}

// endless is a reader without an end.
type endless struct{}

func (endless) Read(p []byte) (int, error) { return copy(p, strings.Repeat("x", len(p))), nil }

// Every fault of a folder is told with its file, line, field and remedy, up to a
// number, and how many more there are.
func TestFaultsOfAFolderAreListed(t *testing.T) {
	h := peopled(t)
	var faults practice.Faults
	for i := range mostFaults + 7 {
		faults = append(faults, practice.Fault{Code: practice.BadDate, File: "sessions.csv", Line: i + 2, Field: "day", Value: "soon"})
	}
	shelf := h.Records.(*shelf)
	shelf.brings = faults
	w := h.send("ines", "/records/folder", "folder", "a.zip", "zip")
	has(t, w, 422, "sessions.csv", "line 2,", fmt.Sprintf("line %d,", mostFaults+1), fmt.Sprintf("!line %d,", mostFaults+2), "207 faults", "And 7 more.")
	for code, text := range map[practice.Code]string{practice.NotRead: "This is not a zip", practice.OutOfRange: "at most 100 files", practice.UnknownFile: "names that lead out"} {
		shelf.brings = practice.Faults{{Code: code, Field: "folder"}}
		has(t, h.send("ines", "/records/folder", "folder", "a.zip", "zip"), 422, text)
	}
	shelf.brings = practice.Fault{Code: practice.ExistsAlready, Field: "studio", Value: "millgate-hall"}
	has(t, h.send("ines", "/records/folder", "folder", "a.zip", "zip"), 422, "There is a studio of this id here already.")
	shelf.brings = nil
	has(t, h.send("ines", "/records/folder", "folder", "a.zip", "zip"), 200, "Millgate Hall is brought in.", "/in/millgate-hall/")
	has(t, h.send("ines", "/records/folder", "other", "a.zip", "zip"), 422, "Choose the zip")
}

// A backup that is sent is read whole, told sound or broken, and how it is
// restored: its name is nothing a command line would take for more.
func TestSentBackupsAreChecked(t *testing.T) {
	h := peopled(t)
	has(t, h.send("ines", "/records/check", "backup", `a"; $(rm) .backup`, "sealed"), 200, "is whole: 7 lines", "aplomb restore a_____rm__.backup", "!$(rm)")
	has(t, h.send("ines", "/records/check", "backup", "a.backup", "sealed and more"), 422, "a.backup: ", `role="alert"`)
	has(t, h.send("ines", "/records/check", "other", "a.backup", "sealed"), 400)
	has(t, h.ask("ines", "POST", "/records/backups/d.backup", nil), 422, "d.backup: ")
	has(t, h.ask("ines", "GET", "/records", nil), 200, "Not checked yet.", "Whole when it was checked", "Damaged when it was checked", "aplomb restore a.backup")
}

// Files take the machine a while, so nobody asks for them without end.
func TestFilesAreLimited(t *testing.T) {
	h := peopled(t)
	for range 20 {
		has(t, h.ask("ines", "POST", "/records/backups", nil), 303)
	}
	has(t, h.ask("ines", "POST", "/records/backups", nil), 429)
	has(t, h.ask("ines", "GET", "/records", nil), 200)
	h.clock = h.clock.Add(11 * time.Second)
	has(t, h.ask("ines", "POST", "/records/backups", nil), 303)
}

// A student is archived and taken back from their record, and found in both.
func TestArchiving(t *testing.T) {
	h := peopled(t)
	has(t, h.ask("tom", "POST", "/students/mira/archive", url.Values{"do": {"archive"}}), 303)
	has(t, h.ask("tom", "GET", "/", nil), 200, "!Mira Vane")
	has(t, h.ask("tom", "GET", "/records?find=MIRA", nil), 200, "Mira Vane", "rchived")
	has(t, h.ask("tom", "GET", "/students/mira/trail", nil), 200, "Take back from the archive", "archived from", "1 June 2026")
	has(t, h.ask("tom", "POST", "/students/mira/archive", url.Values{"do": {"back"}}), 303)
	has(t, h.ask("tom", "GET", "/", nil), 200, "Mira Vane")
	has(t, h.ask("tom", "GET", "/records?find=nobody", nil), 200, "!Mira Vane")
	has(t, h.ask("tom", "GET", "/records", nil), 200, "!/records/folder", "!/trail\"", "!forgotten")
}

// Who was forgotten is listed by a key and a day, to the owner alone.
func TestForgottenAreListed(t *testing.T) {
	h := peopled(t)
	has(t, h.ask("ines", "POST", "/students/mira/forget", url.Values{"name": {"Mira Vane"}}), 303)
	erased, err := h.store.Erased(t.Context(), "millgate-hall")
	if err != nil || len(erased) != 1 {
		t.Fatal(erased, err)
	}
	has(t, h.ask("ines", "GET", "/records?forgotten=yes", nil), 200, "The student is forgotten.", erased[0].Key, "!Mira")
	has(t, h.ask("una", "GET", "/records", nil), 200, "!"+erased[0].Key)
	has(t, h.ask("ines", "GET", "/trail", nil), 200, "Ines Marlow erased a record.", "!Mira")
}

// The trail tells fields in words, and only what changed of a list.
func TestTrailInWords(t *testing.T) {
	h := peopled(t)
	tom := practice.Who{Studio: "millgate-hall", ID: h.ids["tom"], Role: practice.Coach}
	kept, err := h.store.Student(t.Context(), tom, "mira")
	h.ok(err)
	s := kept.Value
	s.Coach = h.ids["una"]
	s.Stops = []practice.Stop{{No: []practice.Strain{practice.Inverted, practice.HandLoad}, Since: practice.DateOf(2026, 5, 4)}}
	s.Goal = strings.Repeat("long ", 100) + "end"
	rev, err := h.store.PutStudent(t.Context(), tom, s, kept.Rev)
	h.ok(err)
	s.Stops = append(s.Stops, practice.Stop{No: []practice.Strain{practice.Overhead}, Since: practice.DateOf(2026, 5, 5)})
	_, err = h.store.PutStudent(t.Context(), tom, s, rev)
	h.ok(err)
	w := h.ask("ines", "GET", "/students/mira/trail", nil)
	has(t, w, 200, "Tom changed the record.", "<td>Tom</td><td>Una</td>", "going upside down and weight on the hands, since: Monday 4 May 2026", "…", "!end</td>", "!hand_load")
	newest, _, _ := strings.Cut(w.Body.String()[strings.Index(w.Body.String(), "<table>"):], "</table>")
	if !strings.Contains(newest, "not: arms overhead, since: Tuesday 5 May 2026") || strings.Contains(newest, "upside down") {
		t.Errorf("the newest line: %s", newest)
	}
}

// A long trail is read page by page, each line once.
func TestTrailIsPaged(t *testing.T) {
	h := peopled(t)
	tom := practice.Who{Studio: "millgate-hall", ID: h.ids["tom"], Role: practice.Coach}
	kept, err := h.store.Student(t.Context(), tom, "mira")
	h.ok(err)
	rev := kept.Rev
	for i := range linesAPage + 5 {
		kept.Value.Goal = fmt.Sprintf("goal-%d.", i)
		rev, err = h.store.PutStudent(t.Context(), tom, kept.Value, rev)
		h.ok(err)
	}
	first := h.ask("tom", "GET", "/students/mira/trail", nil)
	has(t, first, 200, "goal-104.", "goal-5.", "!goal-3.")
	_, next, _ := strings.Cut(first.Body.String(), `href="?before=`)
	next, _, _ = strings.Cut(next, `"`)
	has(t, h.ask("tom", "GET", "/students/mira/trail?before="+next, nil), 200, "goal-3.", "!goal-5.", "!?before=")
}
