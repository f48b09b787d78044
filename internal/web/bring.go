package web

import (
	"errors"
	"io"
	"net/http"
	"os"

	"aplomb/internal/practice"
)

// folderPath is where a studio's folder goes out and comes in.
const folderPath = "/records/folder"

// mostFaults is how many faults of a folder a page lists.
const mostFaults = 200

// fetchFolder hands the studio's folder over.
func fetchFolder(v *visit) error {
	if err := errors.Join(v.keepsRecords(), v.Account.Fresh(*v.in)); err != nil {
		return err
	}
	return v.whole(v.in.Studio.ID, func(w io.Writer) error { return v.Records.Folder(v.ctx(), v.who(), w) })
}

// whole writes a zip into a temporary file first, so that what fails half-way is
// told as an error and never handed over in part.
func (v *visit) whole(name string, write func(io.Writer) error) error {
	if err := v.unhurried(); err != nil {
		return err
	}
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
	v.attachment("application/zip", name+"-"+v.today().String()+".zip")
	_, err = io.Copy(v.w, f)
	return err
}

// bring keeps the studio of a folder; one with faults changes nothing.
func bring(v *visit) error {
	if err := errors.Join(v.here(), v.Account.Fresh(*v.in)); err != nil {
		return err
	}
	file, head, err := v.r.FormFile("folder")
	switch {
	case errors.Is(err, http.ErrMissingFile):
		return v.notBrought(practice.Faults{{Code: practice.MissingField, Field: "folder"}})
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
		return v.notBrought(practice.Faults{{Code: practice.ExistsAlready, Field: "folder"}})
	case err != nil:
		return err
	}
	return v.brought(studio)
}

// brought says that a studio is in, with the link its owner comes in by.
func (v *visit) brought(studio practice.Studio) error {
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
	for _, f := range faults {
		switch {
		case f.Field == "folder" && f.File == "":
			p.Fault = v.say("records.notfolder", "text", v.fault(f))
		case len(p.Faults) == mostFaults:
			p.More++
		default:
			p.Faults = append(p.Faults, v.Words.Fault(f))
		}
	}
	return v.render(http.StatusUnprocessableEntity, "records", p)
}
