// Package storetest is what every database of the store must pass, and the
// PostgreSQL server the tests start for it.
package storetest

import (
	"context"
	"encoding/base64"
	"strconv"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// Opener opens one database, again and again, with or without the key.
type Opener func(seal store.Sealer) *store.Store

// Fresh makes a new empty database for a test.
type Fresh func(t testing.TB) Opener

// Suite runs every case on databases of one kind.
func Suite(t *testing.T, fresh Fresh) {
	for _, c := range []struct {
		name string
		run  func(*testing.T, Fresh)
	}{
		{"objects", objects}, {"log", logRows}, {"refusals", refusals}, {"trail", trail}, {"key", withoutKey}, {"withdraw", withdraw},
		{"reseal", reseal}, {"load", load}, {"round trip", roundTrip}, {"dump", dump}, {"bad dumps", badDumps}, {"erase", erase},
		{"begin", begin}, {"passwords and passkeys", proofs}, {"doors", doors}, {"sign-ins", signIns}, {"one at a time", oneAtATime}, {"one state", oneState},
		{"lists", lists}, {"verify", verify}, {"trail from outside", foreignTrail},
		{"phone", phone}, {"phone refused", phoneRefused}, {"two phones", twoPhones},
	} {
		t.Run(c.name, func(t *testing.T) { c.run(t, fresh) })
	}
}

// Now is a clock that stands still, an hour east of UTC.
func Now() time.Time {
	return time.Date(2026, 6, 1, 18, 30, 0, 0, time.FixedZone("", 3600))
}

var ids atomic.Int64

// NewID makes ids no other has.
func NewID() string { return "made-" + strconv.FormatInt(ids.Add(1), 10) }

// Key is a sealer for tests: it keeps nothing from anybody, but what it sealed
// is not to be read by mistake, and does not open elsewhere.
type Key string

// Seal implements store.Sealer.
func (k Key) Seal(of string, plain []byte) (string, error) {
	return string(k) + ":" + base64.StdEncoding.EncodeToString([]byte(of+"\n"+string(plain))), nil
}

// Open implements store.Sealer.
func (k Key) Open(of, sealed string) ([]byte, error) {
	text, mine := strings.CutPrefix(sealed, string(k)+":")
	clear, err := base64.StdEncoding.DecodeString(text)
	at, plain, cut := strings.Cut(string(clear), "\n")
	if !mine || err != nil || !cut || at != of {
		return nil, practice.Fault{Code: practice.WrongKey, Value: of, Err: err}
	}
	return []byte(plain), nil
}

// TheKey is the one most cases seal with.
const TheKey = Key("key")

// millgate is who the cases act as, and the studio they do it in.
var millgate = practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}

// hall is a database with the studio and two students.
func hall(t *testing.T, fresh Fresh) (*store.Store, Opener) {
	t.Helper()
	open := fresh(t)
	s := open(TheKey)
	must(t)(s.PutStudio(ctx, millgate, practice.Studio{Format: 2, ID: "millgate", Name: "Millgate Hall"}, 0))
	must(t)(s.PutStudent(ctx, millgate, mira(), 0))
	must(t)(s.PutStudent(ctx, millgate, practice.Student{ID: "oda", Name: "Oda"}, 0))
	return s, open
}

func mira() practice.Student {
	return practice.Student{ID: "mira", Name: "Mira Quillfeather-Ostrander", Group: "kites",
		Restrictions: []practice.Restriction{{Site: "left wrist", No: []practice.Strain{practice.HandLoad}, Since: 20000}}}
}

var ctx = context.Background()

// must fails the test where a put failed.
func must(t testing.TB) func(int64, error) int64 {
	return func(rev int64, err error) int64 {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return rev
	}
}

func ok(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// got fails the test where a value could not be read, and hands it on.
func got[T any](t testing.TB) func(T, error) T {
	return func(v T, err error) T {
		t.Helper()
		ok(t, err)
		return v
	}
}

// refused fails the test where err has another code.
func refused(t testing.TB, err error, code practice.Code) {
	t.Helper()
	if !practice.HasCode(err, code) {
		t.Errorf("got %v, want %s", err, code)
	}
}

// same compares values; an empty list is as good as none.
func same(t testing.TB, what string, is, want any) {
	t.Helper()
	if d := diff(is, want); d != "" {
		t.Errorf("%s: %s", what, d)
	}
}

func diff(is, want any) string {
	return cmp.Diff(want, is, cmpopts.EquateEmpty(), cmp.Comparer(func(a, b practice.Zone) bool { return a.String() == b.String() && a.Known() == b.Known() }))
}
