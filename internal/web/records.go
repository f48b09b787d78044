package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"os"
	"strings"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// Records is what the program does with records beyond the roster. Who may do
// it is asked here or in the roster, not there, but for a person's.
type Records interface {
	// Here says whether the records lie on this machine, so that its owner may
	// back them up, and bring a studio in, from a page.
	Here() bool
	// Person writes everything kept of one student as one archive; Forget erases
	// them for good.
	Person(ctx context.Context, who practice.Who, student string, w io.Writer) error
	Forget(ctx context.Context, who practice.Who, student string) error
	// Folder writes the studio's folder as a zip; Bring keeps the studio of such
	// a zip. Faults are the error, all of them, and then nothing is kept.
	Folder(ctx context.Context, who practice.Who, w io.Writer) error
	Bring(ctx context.Context, file io.ReaderAt, size int64) (practice.Studio, error)
	// Backups are those there are, the newest first; BackUp makes one.
	Backups() ([]Backup, error)
	BackUp(ctx context.Context) error
	OpenBackup(name string) (io.ReadCloser, error)
	VerifyBackup(name string) error
}

// Backup is one backup that is kept.
type Backup struct {
	Name  string
	Made  time.Time
	Bytes int64
}

// recordsPage is what the owner of a studio does with its records.
type recordsPage struct {
	frame
	Told    string
	Link    *newLink // into a studio that was brought in
	Here    bool
	Sealed  bool // the key is here
	Backups []keptBackup
	Faults  []string // of a folder that could not be brought in
	More    int      // faults that are not listed
	Fault   string   // of a file that is no folder
}

type keptBackup struct{ Name, Line string }

// folderPath is where a studio's folder goes out and comes in.
const folderPath = "/records/folder"

// mostFaults is how many faults of a folder a page lists.
const mostFaults = 200

func (v *visit) keepsRecords() error { return v.may(practice.KeepRecords) }

func records(v *visit) error {
	p, err := v.recordsPage()
	if err != nil {
		return err
	}
	for _, id := range []string{"made", "whole"} {
		if name := v.r.URL.Query().Get(id); name != "" {
			p.Told = v.say("records."+id, "name", practice.Short(name))
		}
	}
	return v.render(http.StatusOK, "records", p)
}

func (v *visit) recordsPage() (recordsPage, error) {
	if err := v.keepsRecords(); err != nil {
		return recordsPage{}, err
	}
	p := recordsPage{frame: v.frame("records.title"), Here: v.Records.Here()}
	if !p.Here {
		return p, nil
	}
	all, err := v.Records.Backups()
	for _, b := range all {
		at := v.in.Studio.Zone.At(b.Made)
		p.Backups = append(p.Backups, keptBackup{b.Name, v.say("records.backup", "date", telling.LongDate(v.Words, v.in.Studio.Zone.Date(at)), "size", fmt.Sprintf("%.1f", float64(b.Bytes)/1e6))})
	}
	return p, err
}

// backUp makes a backup.
func backUp(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	if err := v.Records.BackUp(v.ctx()); err != nil {
		return err
	}
	return v.see("/records?made=now")
}

// here refuses who may not keep records, and pages of records that lie elsewhere.
func (v *visit) here() error {
	if err := v.keepsRecords(); err != nil {
		return err
	}
	if !v.Records.Here() {
		return errNoPage
	}
	return nil
}

// verifyBackup reads a backup whole.
func verifyBackup(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	name := v.r.PathValue("name")
	if err := v.Records.VerifyBackup(name); err != nil {
		return err
	}
	return v.see("/records?whole=" + name)
}

// fetchBackup hands a backup over: it is encrypted.
func fetchBackup(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	name := v.r.PathValue("name")
	f, err := v.Records.OpenBackup(name)
	if err != nil {
		return err
	}
	defer f.Close()
	v.attachment("application/octet-stream", name)
	_, err = io.Copy(v.w, f)
	return err
}

// attachment says that what follows is a file to keep.
func (v *visit) attachment(kind, name string) {
	v.w.Header().Set("Content-Type", kind)
	v.w.Header().Set("Content-Disposition", `attachment; filename="`+name+`"`)
}

// whole writes a file into a temporary one first, so that what fails half-way is
// told as an error and never handed over in part.
func (v *visit) whole(name string, write func(io.Writer) error) error {
	f, err := os.CreateTemp("", "aplomb-")
	if err != nil {
		return practice.Fault{Code: practice.NotWritten, File: os.TempDir(), Err: err}
	}
	defer os.Remove(f.Name())
	defer f.Close()
	if err := write(f); err != nil {
		return err
	}
	if _, err := f.Seek(0, io.SeekStart); err != nil {
		return err
	}
	v.attachment("application/zip", name)
	_, err = io.Copy(v.w, f)
	return err
}

// fetchFolder hands the studio's folder over.
func fetchFolder(v *visit) error {
	if err := v.keepsRecords(); err != nil {
		return err
	}
	return v.whole(v.in.Studio.ID+"-"+v.today().String()+".zip", func(w io.Writer) error { return v.Records.Folder(v.ctx(), v.who(), w) })
}

// bring keeps the studio of a folder; one with faults changes nothing.
func bring(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	file, head, err := v.r.FormFile("folder")
	switch {
	case errors.Is(err, http.ErrMissingFile):
		return v.notBrought(practice.Faults{{Code: practice.NotRead, Field: "folder"}})
	case err != nil:
		return errors.Join(errBadForm, err)
	}
	defer file.Close()
	defer v.r.MultipartForm.RemoveAll()
	studio, err := v.Records.Bring(v.ctx(), file, head.Size)
	var faults practice.Faults
	var one practice.Fault
	switch {
	case errors.As(err, &faults):
		return v.notBrought(faults)
	case errors.As(err, &one) && one.Code == practice.ExistsAlready:
		return v.notBrought(practice.Faults{one})
	case err != nil:
		return err
	}
	link, _, err := v.Account.OwnerLink(v.ctx(), studio.ID, "")
	if err != nil {
		return err
	}
	p, err := v.recordsPage()
	if err != nil {
		return err
	}
	p.Told = v.say("records.brought", "studio", studio.Name)
	p.Link = v.newLink(link, studio.Name)
	return v.render(http.StatusOK, "records", p)
}

// notBrought lists every fault with file, line, field and remedy.
func (v *visit) notBrought(faults practice.Faults) error {
	p, err := v.recordsPage()
	if err != nil {
		return err
	}
	for i, f := range faults {
		if f.Field == "folder" || f.Code == practice.ExistsAlready && f.File == "" {
			p.Fault = v.say("records.notfolder", "text", v.Words.Fault(practice.Fault{Code: f.Code, Value: f.Value, Want: f.Want}))
			continue
		}
		if i >= mostFaults {
			p.More++
			continue
		}
		p.Faults = append(p.Faults, v.Words.Fault(f))
	}
	return v.render(http.StatusUnprocessableEntity, "records", p)
}

// fetchPerson hands everything kept of one student over.
func fetchPerson(v *visit) error {
	id := v.r.PathValue("id")
	return v.whole(id+"-"+v.today().String()+".zip", func(w io.Writer) error { return v.Records.Person(v.ctx(), v.who(), id, w) })
}

// forgetPage asks for the name before a student is forgotten.
type forgetPage struct {
	frame
	ID, Student string
	Field       control
}

func forgetForm(v *visit) error {
	p, err := v.forgetPage("", "")
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "forget", p)
}

func (v *visit) forgetPage(typed, fault string) (forgetPage, error) {
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.ErasePerson, id); err != nil {
		return forgetPage{}, err
	}
	if err := v.Account.Fresh(*v.in); err != nil {
		return forgetPage{}, err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	name := kept.Value.Name
	return forgetPage{frame: v.frame("forget.title", "name", name), ID: id, Student: name,
		Field: control{field{Name: "name", Label: v.say("forget.name", "name", name), Kind: "text", Value: typed, Fault: fault}, "name", false}}, err
}

// forget erases a student once their name was typed.
func forget(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	p, err := v.forgetPage(v.typed("name"), v.say("forget.other"))
	if err != nil {
		return err
	}
	if strings.TrimSpace(v.typed("name")) != p.Student {
		return v.render(http.StatusUnprocessableEntity, "forget", p)
	}
	if err := v.Records.Forget(v.ctx(), v.who(), p.ID); err != nil {
		return err
	}
	return v.see("/")
}
