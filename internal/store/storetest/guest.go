package storetest

import (
	"bytes"
	"context"
	"fmt"
	"regexp"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// A guest is a student who comes, takes back the consent to health notes and is
// forgotten: the changes that touch more than one table. Stages are what a
// writer says it has answered for.
const (
	came     = "came"
	withdrew = "withdrew"
	forgot   = "forgot"
)

var stages = []string{came, withdrew, forgot}

// guest takes a guest one stage further. That another reads while the bytes are
// to go does not undo that the guest is forgotten.
func guest(ctx context.Context, s *store.Store, id, stage string) error {
	switch stage {
	case came:
		return guestIn(ctx, s, id)
	case withdrew:
		return s.Withdraw(ctx, killed, id, practice.ForHealth, at(2), true)
	}
	key, err := s.Erase(ctx, killed, id)
	if key != "" && practice.HasCode(err, practice.StoreLocked) {
		return nil
	}
	return err
}

func guestIn(ctx context.Context, s *store.Store, id string) error {
	if _, err := s.PutStudent(ctx, killed, practice.Student{ID: id, Name: id}, 0); err != nil {
		return err
	}
	consent := practice.Consent{ID: id + "/yes", Student: id, For: practice.ForHealth, At: at(1), By: id, Role: practice.AsStudent}
	if _, err := s.PutConsent(ctx, killed, consent, 0); err != nil {
		return err
	}
	_, err := s.PutNote(ctx, killed, practice.Note{ID: id + "/story", Student: id, By: "ines", Kind: practice.StopNote, At: at(1), Text: id}, 0)
	return err
}

// guests holds the store against what was answered for: a guest is there whole,
// without health notes where the consent was taken back, or nowhere at all but
// for one line that somebody was forgotten.
func (k *Told) guests(t *testing.T, s *store.Store) {
	t.Helper()
	here := map[string]bool{}
	for _, kept := range got[[]practice.Kept[practice.Student]](t)(s.Students(ctx, killed)) {
		if id := kept.Value.ID; guestID.MatchString(id) {
			here[id] = true
			k.guestWhole(t, s, id)
		}
	}
	gone := 0
	for id, told := range k.stage {
		if !here[id] {
			gone++
		} else if told == forgot {
			t.Errorf("%s was answered for as forgotten and is there", id)
		}
	}
	lines := 0
	ok(t, s.Trail(ctx, killed, func(c practice.Change) error {
		if c.Act == practice.Erased {
			lines++
		}
		return nil
	}))
	if lines != gone {
		t.Errorf("%d guests are gone, %d lines say so", gone, lines)
	}
	var dump bytes.Buffer
	ok(t, s.Dump(ctx, &dump))
	for _, id := range guestID.FindAllString(dump.String(), -1) {
		if !here[id] {
			t.Errorf("%s is no student and half there", id)
		}
	}
}

var guestID = regexp.MustCompile(`guest-w\d+-\d+-\d+`)

func guestName(student string, round, n int) string {
	return fmt.Sprintf("guest-%s-%d-%d", student, round, n)
}

func (k *Told) guestWhole(t *testing.T, s *store.Store, id string) {
	t.Helper()
	r := got[store.Record](t)(s.Record(ctx, killed, id))
	removed := 0
	for _, c := range got[[]practice.Change](t)(s.Changes(ctx, killed, id)) {
		if c.Act == practice.Removed {
			removed++
		}
	}
	consents, notes, told := len(r.Consents), len(r.Notes), k.stage[id]
	back := consents == 1 && !r.Consents[0].Holds()
	if back != (removed == 1) || back && notes > 0 {
		t.Errorf("%s: consent taken back %v, %d health notes, %d lines that they went", id, back, notes, removed)
	}
	if told != "" && (consents != 1 || notes != 1 && !back) || told == withdrew && !back {
		t.Errorf("%s, answered for as %q: %d consents, taken back %v, %d notes", id, told, consents, back, notes)
	}
}
