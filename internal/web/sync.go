package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strconv"

	"aplomb/internal/logbook"
	"aplomb/internal/practice"
)

// syncPath is where phones send what was logged.
const syncPath = "/me/sync"

// maxSync is how much of it comes at once.
const maxSync = 512 << 10

// syncRequest is what a phone sends.
type syncRequest struct {
	Phone   string          `json:"phone"`
	Student string          `json:"student,omitempty"` // whose log it is, where the phone says so
	Now     string          `json:"now"`
	Entries []logbook.Entry `json:"entries"`
}

// syncAnswer says what became of every entry.
type syncAnswer struct {
	Now     practice.Instant `json:"now"`
	Kept    [][2]any         `json:"kept"` // id and n
	Refused []syncSaid       `json:"refused"`
	LeftOut []syncSaid       `json:"left_out,omitempty"`
	Plan    string           `json:"plan"`
}

type syncSaid struct {
	ID    string `json:"id"`
	N     int    `json:"n"`
	Field string `json:"field"`
	Say   string `json:"say"`
}

// syncPhone takes in what a student's phone logged. It answers when all that it
// names as kept is on the disk.
func syncPhone(v *visit) error {
	if err := v.asStudent(); err != nil {
		return err
	}
	if who := v.who(); !v.limits.sync.allow(who.Studio + "/" + who.ID) {
		return errTooOften
	}
	parcel, err := v.parcel()
	if err != nil {
		return err
	}
	answer, err := v.Logbook.Merge(v.ctx(), v.who(), parcel)
	var faults practice.Faults
	if errors.As(err, &faults) {
		return fmt.Errorf("%w: %w", errBadForm, err)
	}
	if err != nil {
		return err
	}
	return v.json(http.StatusOK, v.synced(answer))
}

// parcel reads the request. What has the wrong type in an entry is left empty
// there, so that the entry is refused by itself.
func (v *visit) parcel() (p logbook.Parcel, err error) {
	var request syncRequest
	var wrongType *json.UnmarshalTypeError
	if err := json.NewDecoder(v.r.Body).Decode(&request); err != nil && !errors.As(err, &wrongType) {
		var tooLarge *http.MaxBytesError
		if errors.As(err, &tooLarge) {
			return p, err
		}
		return p, fmt.Errorf("%w: %w", errBadForm, err)
	}
	if request.Student != "" && request.Student != v.who().ID {
		return p, practice.Refused(practice.LogPractice) // somebody else signed in on this phone meanwhile
	}
	now, err := practice.ParseInstant(request.Now)
	if err != nil {
		return p, fmt.Errorf("%w: %w", errBadForm, err)
	}
	return logbook.Parcel{Phone: request.Phone, Now: now, Entries: request.Entries}, nil
}

func (v *visit) synced(a logbook.Answer) syncAnswer {
	out := syncAnswer{Now: practice.Zone{}.At(v.Now()), Kept: [][2]any{}, Refused: []syncSaid{}, Plan: a.Plan}
	for _, k := range a.Kept {
		out.Kept = append(out.Kept, [2]any{k.ID, k.N})
	}
	for _, r := range a.Refused {
		out.Refused = append(out.Refused, syncSaid{r.ID, r.N, r.Fault.Field, v.refusal(r.Fault)})
	}
	for _, l := range a.LeftOut {
		out.LeftOut = append(out.LeftOut, syncSaid{l.ID, l.N, l.Fault.Field, v.say("sync.left." + string(l.Fault.Code))})
	}
	return out
}

// refusal is why an entry stays on the phone, to a student.
func (v *visit) refusal(f practice.Fault) string {
	for _, id := range []string{"sync.refused." + f.Field, "sync.refused." + string(f.Code)} {
		if v.Words.Has("web." + id) {
			return v.say(id, "value", f.Value)
		}
	}
	return v.Words.Fault(f)
}

// comeBack tells a phone that was turned away when to come back.
func (v *visit) comeBack(status int) {
	switch status {
	case http.StatusTooManyRequests:
		v.w.Header().Set("Retry-After", strconv.Itoa(againOften))
	case http.StatusServiceUnavailable:
		v.w.Header().Set("Retry-After", strconv.Itoa(againBusy))
	}
}

// Seconds until it is worth asking again.
const (
	againOften = 60
	againBusy  = 30
)

// asksJSON says whether an answer is read by a program.
func asksJSON(r *http.Request) bool {
	return r.Header.Get("Accept") == "application/json" || r.URL.Path == syncPath
}
