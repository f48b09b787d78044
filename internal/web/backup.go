package web

import (
	"errors"
	"fmt"
	"io"
	"net/http"
	"path"
	"strings"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/telling"
)

// checkPath is where a backup is sent to be checked.
const checkPath = "/records/check"

// backups are those there are, and how the newest is restored.
func (v *visit) backups(p *recordsPage) error {
	all, err := v.Records.Backups()
	if err != nil {
		return err
	}
	for _, b := range all {
		line := v.say("records.backup", "date", v.moment(b.Made), "size", fmt.Sprintf("%.1f", float64(b.Bytes)/1e6))
		switch {
		case b.Check.At.IsZero():
			line += " " + v.say("records.unchecked")
		case b.Check.Whole:
			line += " " + v.say("records.checked", "date", v.moment(b.Check.At))
		default:
			line += " " + v.say("records.damaged", "date", v.moment(b.Check.At))
		}
		p.Backups = append(p.Backups, keptBackup{b.Name, line})
	}
	if len(all) > 0 {
		p.Restore, err = v.Records.Restore(all[0].Name)
	}
	return err
}

// moment is a day and a time of it, as the studio's clock shows it.
func (v *visit) moment(at time.Time) string {
	local := v.in.Studio.Zone.At(at)
	return telling.LongDate(v.Words, local.Date()) + " " + local.String()[11:16]
}

// backUp makes a backup.
func backUp(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	name, err := v.Records.BackUp(v.ctx())
	if err != nil {
		return v.broken(name, err)
	}
	return v.see("/records?made=" + name)
}

// verifyBackup reads a backup whole.
func verifyBackup(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	name := v.r.PathValue("name")
	if err := v.Records.VerifyBackup(name); err != nil {
		return v.broken(name, err)
	}
	return v.see("/records?whole=" + name)
}

// broken tells what is wrong with a backup, and what to do.
func (v *visit) broken(name string, err error) error {
	var f practice.Fault
	if !errors.As(err, &f) || f.Code != practice.BackupBroken && f.Code != practice.WrongKey && f.Code != practice.NoKey && f.Code != practice.StoreNewer {
		return err
	}
	p, err := v.recordsPage()
	if err != nil {
		return err
	}
	f.File = ""
	p.Broken = v.say("records.broken", "name", practice.Short(name), "text", v.Words.Fault(f))
	return v.render(http.StatusUnprocessableEntity, "records", p)
}

// fetchBackup hands a backup over: it is encrypted.
func fetchBackup(v *visit) error {
	if err := errors.Join(v.here(), v.Account.Fresh(*v.in)); err != nil {
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

// checkBackup reads a backup whole while it comes in, keeps nothing of it, and
// says how it would be restored.
func checkBackup(v *visit) error {
	if err := v.here(); err != nil {
		return err
	}
	file, name, err := v.upload("backup")
	if err != nil {
		return err
	}
	if name == "" {
		return v.broken("", practice.Fault{Code: practice.BackupBroken})
	}
	made, rows, err := v.Records.CheckBackup(file)
	if tooLarge := new(http.MaxBytesError); errors.As(err, &tooLarge) {
		return tooLarge
	}
	if err != nil {
		return v.broken(name, err)
	}
	p, err := v.recordsPage()
	if err != nil {
		return err
	}
	p.Told = v.say("records.sound", "name", name, "date", v.moment(made), "n", rows)
	if p.Restore, err = v.Records.Restore(name); err != nil {
		return err
	}
	return v.render(http.StatusOK, "records", p)
}

// upload is the first file of a form as it comes in, and what it is called, in
// plain letters; empty where none was chosen.
func (v *visit) upload(field string) (io.Reader, string, error) {
	parts, err := v.r.MultipartReader()
	if err != nil {
		return nil, "", errors.Join(errBadForm, err)
	}
	part, err := parts.NextPart()
	if err != nil || part.FormName() != field {
		return nil, "", errors.Join(errBadForm, err)
	}
	return part, plainName(part.FileName()), nil
}

// plainName is a file's name with nothing in it that a command line would take
// for something else.
func plainName(name string) string {
	return practice.Short(strings.Map(func(r rune) rune {
		if r < 0x80 && (r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("._-", r)) {
			return r
		}
		return '_'
	}, path.Base(name)))
}
