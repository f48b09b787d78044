package vault

import (
	"bytes"
	"encoding/base64"
	"errors"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"filippo.io/age"
	"pgregory.net/rapid"

	"aplomb/internal/practice"
)

const place = "millgate/note/n1"

func sealed(t testing.TB, k *Key, of string, plain []byte) string {
	t.Helper()
	s, err := k.Seal(of, plain)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// Whatever is sealed opens the same, with the key and with the recovery key,
// and is one line of ASCII that has nothing of the text.
func TestSealOpens(t *testing.T) {
	k, secret := newKey(t)
	spare := recoveryKey(t, secret)
	rapid.Check(t, func(t *rapid.T) {
		of := rapid.StringMatching(`[A-Za-z0-9_-]{1,20}/note/[A-Za-z0-9_-]{1,64}`).Draw(t, "of")
		plain := rapid.SliceOfN(rapid.Byte(), 0, 200).Draw(t, "plain")
		s, err := k.Seal(of, plain)
		if err != nil {
			t.Fatal(err)
		}
		for _, with := range []*Key{k, spare} {
			if got, err := with.Open(of, s); err != nil || !bytes.Equal(got, plain) {
				t.Fatalf("got %q, %v", got, err)
			}
		}
		if strings.ContainsAny(s, " \r\n") {
			t.Fatal("not one word")
		}
	})
}

// The same text sealed twice differs, and texts up to 63 bytes are as long as
// one another.
func TestSealTellsLittle(t *testing.T) {
	k, _ := newKey(t)
	once, again := sealed(t, k, place, []byte("left wrist")), sealed(t, k, place, []byte("left wrist"))
	if once == again {
		t.Error("the same text seals the same twice")
	}
	want := len(sealed(t, k, place, nil))
	for n := range step {
		if got := len(sealed(t, k, place, bytes.Repeat([]byte{0}, n))); got != want {
			t.Errorf("%d bytes seal to %d, none to %d", n, got, want)
		}
	}
}

func TestSealedTextIsTiedToItsPlace(t *testing.T) {
	k, _ := newKey(t)
	s := sealed(t, k, place, []byte("left wrist"))
	for _, of := range []string{"millgate/note/n2", "other/note/n1", "millgate/session/n1", "", place + "\nleft", place + "/"} {
		_, err := k.Open(of, s)
		if f := wantCode(t, err, practice.WrongKey); f.Want == "" {
			t.Error("it is not said what is wrong")
		}
	}
	defer func() {
		if recover() == nil {
			t.Error("a place with a line end was taken")
		}
	}()
	k.Seal("a\nb", nil)
}

// Every byte of a sealed text changed, cut, or added is found.
func TestAlteredSealDoesNotOpen(t *testing.T) {
	k, _ := newKey(t)
	s := sealed(t, k, place, []byte("left wrist"))
	bad := []string{"", s + "A", s + "=", s + "\n", s[:40] + "\n" + s[40:], " " + s, "not base64", base64.StdEncoding.EncodeToString([]byte("not age"))}
	for i := range s {
		bad = append(bad, s[:i], s[:i]+flip(s[i])+s[i+1:])
	}
	for _, b := range bad {
		if b == s {
			t.Fatal("nothing was altered")
		}
		_, err := k.Open(place, b)
		wantCode(t, err, practice.WrongKey)
	}
}

// flip is another character of base64.
func flip(c byte) string {
	if c == 'A' {
		return "B"
	}
	return "A"
}

func TestAnotherKeyDoesNotOpen(t *testing.T) {
	k, _ := newKey(t)
	other, otherSecret := newKey(t)
	s := sealed(t, k, place, []byte("left wrist"))
	for _, with := range []*Key{other, recoveryKey(t, otherSecret)} {
		_, err := with.Open(place, s)
		wantCode(t, err, practice.WrongKey)
		if none := new(age.NoIdentityMatchError); !errors.As(err, &none) {
			t.Errorf("the cause is lost: %v", err)
		}
	}
}

// The form is what the comment of seal.go says: age's own functions open it,
// and a text whose padding is missing is refused.
func TestSealedForm(t *testing.T) {
	k, _ := newKey(t)
	raw, err := base64.StdEncoding.DecodeString(sealed(t, k, place, []byte("left wrist")))
	if err != nil {
		t.Fatal(err)
	}
	r, err := age.Decrypt(bytes.NewReader(raw), k.own)
	if err != nil {
		t.Fatal(err)
	}
	clear, err := io.ReadAll(r)
	if want := place + "\nleft wrist\x80" + strings.Repeat("\x00", 53); err != nil || string(clear) != want {
		t.Errorf("got %q, %v", clear, err)
	}
	for _, inside := range []string{place + "\n", place + "\nleft wrist", place + "\n\x00\x00", "no line end"} {
		var b bytes.Buffer
		w, err := k.encrypt(&b)
		if err != nil {
			t.Fatal(err)
		}
		io.WriteString(w, inside)
		w.Close()
		_, err = k.Open(place, base64.StdEncoding.EncodeToString(b.Bytes()))
		wantCode(t, err, practice.WrongKey)
	}
}

func TestReseal(t *testing.T) {
	old, oldSecret := newKey(t)
	next, nextSecret := rotated(t, old)
	was := sealed(t, old, place, []byte("left wrist"))
	now, err := next.Reseal(place, was)
	if err != nil {
		t.Fatal(err)
	}
	for _, with := range []*Key{next, next.Forget(), recoveryKey(t, nextSecret)} {
		if plain, err := with.Open(place, now); err != nil || string(plain) != "left wrist" {
			t.Errorf("%q, %v", plain, err)
		}
	}
	for _, with := range []*Key{old, recoveryKey(t, oldSecret)} {
		_, err := with.Open(place, now)
		wantCode(t, err, practice.WrongKey)
	}
	if again, err := next.Reseal(place, now); err != nil || again != now {
		t.Errorf("what was resealed is sealed once more: %v", err)
	}
	_, err = next.Reseal("millgate/note/n2", now)
	wantCode(t, err, practice.WrongKey)
	_, err = next.Forget().Open(place, was)
	wantCode(t, err, practice.WrongKey)
	_, err = recoveryKey(t, oldSecret).Reseal(place, was)
	wantCode(t, err, practice.NoKey)
}

// The order of a rotation (doc/security.md), stopped after every one of its
// steps: what is on the disk opens every value, and doing it again ends well.
func TestRotationStoppedAnywhere(t *testing.T) {
	const values = 5
	steps := values + 2 // the file with both keys, each value, the file with the new key alone
	for stop := range steps + 1 {
		file := filepath.Join(t.TempDir(), "health.key")
		first, _ := newKey(t)
		if err := first.Create(file); err != nil {
			t.Fatal(err)
		}
		kept := make([]string, values)
		for i := range kept {
			kept[i] = sealed(t, first, placeOf(i), []byte{byte(i)})
		}
		rotate(t, file, kept, stop)
		opensAll(t, file, kept)
		rotate(t, file, kept, steps)
		key := opensAll(t, file, kept)
		if key.Older() != 0 {
			t.Errorf("stopped after %d: %d older keys are left", stop, key.Older())
		}
		for i, s := range kept {
			if _, err := first.Open(placeOf(i), s); err == nil {
				t.Errorf("stopped after %d: value %d still opens with the first key", stop, i)
			}
		}
	}
}

func placeOf(i int) string { return "millgate/note/" + string(rune('a'+i)) }

// rotate does a rotation, but not what comes after so many steps.
func rotate(t *testing.T, file string, kept []string, steps int) {
	key, err := ReadKey(file)
	if err != nil {
		t.Fatal(err)
	}
	next, _ := rotated(t, key)
	todo := []func() error{func() error { return next.Replace(file) }}
	for i := range kept {
		todo = append(todo, func() (err error) {
			kept[i], err = next.Reseal(placeOf(i), kept[i])
			return err
		})
	}
	todo = append(todo, func() error { return next.Forget().Replace(file) })
	for _, do := range slices.Concat(todo)[:steps] {
		if err := do(); err != nil {
			t.Fatal(err)
		}
	}
}

func opensAll(t *testing.T, file string, kept []string) *Key {
	t.Helper()
	key, err := ReadKey(file)
	if err != nil {
		t.Fatal(err)
	}
	for i, s := range kept {
		if plain, err := key.Open(placeOf(i), s); err != nil || plain[0] != byte(i) {
			t.Fatalf("value %d: %q, %v", i, plain, err)
		}
	}
	return key
}

// With the recovery key alone: open, make a new key of it, reseal, go on.
func TestRecoveryAlone(t *testing.T) {
	lost, secret := newKey(t)
	s := sealed(t, lost, place, []byte("left wrist"))
	next, _ := rotated(t, recoveryKey(t, secret))
	again, err := next.Reseal(place, s)
	if err != nil {
		t.Fatal(err)
	}
	if plain, err := next.Forget().Open(place, again); err != nil || string(plain) != "left wrist" {
		t.Errorf("%q, %v", plain, err)
	}
}

func FuzzOpen(f *testing.F) {
	k, _ := newKey(f)
	f.Add(place, sealed(f, k, place, []byte("left wrist")))
	f.Add("", "")
	good := sealed(f, k, place, nil)
	f.Fuzz(func(t *testing.T, of, s string) {
		plain, err := k.Open(of, s)
		if err != nil {
			wantCode(t, err, practice.WrongKey)
		} else if of != place {
			t.Errorf("opened %q at %q", plain, of)
		}
		if _, err := k.Open(place, good); err != nil {
			t.Error(err)
		}
	})
}

func BenchmarkSeal(b *testing.B) {
	k, _ := newKey(b)
	for b.Loop() {
		sealed(b, k, place, []byte("left wrist"))
	}
}

func BenchmarkOpen(b *testing.B) {
	k, _ := newKey(b)
	s := sealed(b, k, place, []byte("left wrist"))
	for b.Loop() {
		if _, err := k.Open(place, s); err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(len(s)), "bytes/value")
}

// BenchmarkOpenRotated opens what was sealed for an older key.
func BenchmarkOpenRotated(b *testing.B) {
	k, _ := newKey(b)
	s := sealed(b, k, place, []byte("left wrist"))
	k, _ = rotated(b, k)
	for b.Loop() {
		if _, err := k.Open(place, s); err != nil {
			b.Fatal(err)
		}
	}
}
