package web

import (
	"cmp"
	"context"
	"errors"
	"io"
	"net/http"
	"slices"
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
	Backups
}

// Backups makes, keeps and checks backups. A damaged one is a backup-broken
// fault, one of another name a not-found one.
type Backups interface {
	// Backups are those there are, the newest first; BackUp makes one and reads
	// it whole.
	Backups() ([]Backup, error)
	BackUp(ctx context.Context) (name string, err error)
	OpenBackup(name string) (io.ReadCloser, error)
	VerifyBackup(name string) error
	// CheckBackup reads a backup whole that somebody sends.
	CheckBackup(r io.Reader) (made time.Time, rows int64, err error)
	// Restore is what to say on this machine to restore the backup, a line each.
	Restore(name string) ([]string, error)
}

// Backup is one backup that is kept.
type Backup struct {
	Name  string
	Made  time.Time
	Bytes int64
	Check BackupCheck
}

// BackupCheck is when a backup was last read whole, if ever, and whether it was
// as it was written.
type BackupCheck struct {
	At    time.Time
	Whole bool
}

// recordsPage is what somebody does with the records of a studio: coaches find
// their students, its owner sees to all of them.
type recordsPage struct {
	frame
	Told    string
	Find    string
	Found   []foundStudent
	Runs    bool // the studio
	Here    bool
	Link    *newLink // into a studio that was brought in
	Backups []keptBackup
	Faults  []string // of a folder that could not be brought in
	More    int      // faults that are not listed
	Fault   string   // of a file that is no folder
	Broken  string   // what is wrong with a backup
	Restore []string
	Erased  []erasedLine
}

// AllFaults is how many faults there are, listed or not.
func (p recordsPage) AllFaults() int { return len(p.Faults) + p.More }

// foundStudent is one whose name was looked for.
type foundStudent struct{ ID, Name, Line string }

type keptBackup struct{ Name, Line string }

// erasedLine is that somebody was erased: the day, and a key that means nothing
// else.
type erasedLine struct{ Day, Key string }

func (v *visit) keepsRecords() error { return v.may(practice.KeepRecords) }

func records(v *visit) error {
	p, err := v.recordsPage()
	if err != nil {
		return err
	}
	query := v.r.URL.Query()
	for _, id := range []string{"made", "whole", "forgotten"} {
		if name := query.Get(id); name != "" {
			p.Told = v.say("records."+id, "name", practice.Short(name))
		}
	}
	if p.Find = strings.TrimSpace(query.Get("find")); query.Has("find") {
		p.Found, err = v.found(p.Find)
	}
	if err != nil {
		return err
	}
	return v.render(http.StatusOK, "records", p)
}

// found are the students with the text in their names whose record the person
// may see, archived ones too, by name.
func (v *visit) found(find string) (out []foundStudent, err error) {
	students, err := v.Roster.Students(v.ctx(), v.who())
	for _, k := range students {
		s := k.Value
		if !strings.Contains(strings.ToLower(s.Name), strings.ToLower(find)) {
			continue
		}
		one := foundStudent{ID: s.ID, Name: s.Name}
		if s.ArchivedOn != nil {
			one.Line = v.say("desk.line.archived", "date", telling.LongDate(v.Words, *s.ArchivedOn))
		}
		out = append(out, one)
	}
	slices.SortStableFunc(out, func(a, b foundStudent) int { return cmp.Compare(a.Name, b.Name) })
	return out, err
}

func (v *visit) recordsPage() (recordsPage, error) {
	if err := v.may(practice.AddStudent); err != nil { // who has students of their own, or runs the studio
		return recordsPage{}, err
	}
	p := recordsPage{frame: v.frame("records.title"), Runs: v.keepsRecords() == nil}
	if !p.Runs {
		return p, nil
	}
	erased, err := v.Roster.Erased(v.ctx(), v.who())
	if err != nil {
		return p, err
	}
	for _, c := range erased {
		p.Erased = append(p.Erased, erasedLine{telling.LongDate(v.Words, v.in.Studio.Zone.Date(c.At)), c.Key})
	}
	if p.Here = v.Records.Here(); p.Here {
		err = v.backups(&p)
	}
	return p, err
}

// here refuses who may not keep records, and pages of records that lie elsewhere.
func (v *visit) here() error {
	if err := v.keepsRecords(); err != nil {
		return err
	}
	if !v.Records.Here() {
		return errNoPage
	}
	return v.unhurried()
}

// unhurried lifts the time limits of a visit that has passed the door, for a
// file takes the time it takes, and refuses whoever asks for one too often.
func (v *visit) unhurried() error {
	if !v.limits.file.allow(v.who().Studio + "/" + v.who().ID) {
		return errTooOften
	}
	c := http.NewResponseController(v.w)
	for _, limit := range []func(time.Time) error{c.SetReadDeadline, c.SetWriteDeadline} {
		if err := limit(time.Time{}); err != nil && !errors.Is(err, http.ErrNotSupported) {
			return err
		}
	}
	return nil
}

// archive takes a student out of sight, or back. Nothing is lost.
func archive(v *visit) error {
	if err := v.form(); err != nil {
		return err
	}
	id := v.r.PathValue("id")
	if err := v.Roster.May(v.ctx(), v.who(), practice.CoachStudent, id); err != nil {
		return err
	}
	kept, err := v.Roster.Student(v.ctx(), v.who(), id)
	if err != nil {
		return err
	}
	today := v.today()
	switch s := &kept.Value; {
	case v.typed("do") == "back":
		s.ArchivedOn = nil
	case v.typed("do") == "archive" && s.ArchivedOn == nil:
		s.ArchivedOn = &today
	}
	if _, err := v.Roster.Change(v.ctx(), v.who(), kept.Value, kept.Rev); err != nil {
		return err
	}
	return v.see("/students/" + id + "/trail")
}
