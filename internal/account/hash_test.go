package account

import (
	"context"
	"encoding/hex"
	"fmt"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/argon2"
)

// The library and our string agree with the reference implementation. Source:
// github.com/P-H-C/phc-winner-argon2, src/test.c, version 0x13 of Argon2id
// (m=2^16, t=2, p=1, "password", "somesalt"), written down from memory.
func TestPublishedHash(t *testing.T) {
	h := phc{cost: Cost{MemoryKiB: 1 << 16, Passes: 2, Lanes: 1}, salt: []byte("somesalt")}
	const want = "09316115d5cf24ed5a15a31a3ba326e5cf32edc24702987c02b6566f61913cf7"
	if got := hex.EncodeToString(h.of("password")); got != want {
		t.Errorf("got %s", got)
	}
}

func TestHashStrings(t *testing.T) {
	a := &Account{Parts: Parts{Random: strings.NewReader(strings.Repeat("s", 64)), Cost: Cost{64, 1, 1}}, hashing: make(chan struct{}, 1)}
	s, err := a.hash(t.Context(), phrase)
	if err != nil || !strings.HasPrefix(s, fmt.Sprintf("$argon2id$v=%d$m=64,t=1,p=1$", argon2.Version)) {
		t.Fatal(s, err)
	}
	if match, old, _ := a.matches(t.Context(), s, phrase); !match || old {
		t.Error("the password does not match its own hash")
	}
	for name, bad := range map[string]string{
		"empty": "", "another kind": strings.Replace(s, "argon2id", "argon2i", 1), "too dear": strings.Replace(s, "m=64", "m=99999999", 1),
		"no pass": strings.Replace(s, "t=1", "t=0", 1), "cut": s[:len(s)-2], "longer": s + "AA", "another version": strings.Replace(s, "v=19", "v=16", 1),
	} {
		if match, _, _ := a.matches(t.Context(), bad, phrase); match {
			t.Errorf("%s: matched %s", name, bad)
		}
	}
}

func TestHashesWaitTheirTurn(t *testing.T) {
	a := &Account{hashing: make(chan struct{}, 1)}
	a.hashing <- struct{}{}
	ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
	defer cancel()
	wants(t, a.inTurn(ctx, func() { t.Error("ran out of turn") }), ErrBusy)
}

func TestPasswordRules(t *testing.T) {
	for password, ok := range map[string]bool{
		phrase: true, "ünïcödé ☂ ": true, strings.Repeat("ab", 64): true,
		"": false, "nine char": false, strings.Repeat("ab", 65): false, "ines@millgate.example": false, "ines.marlow1": false,
		"Password123": false, "1234567890": false, "aaaaaaaaaaaa": false, "handstand123": false, "bad\xffbytes here": false,
	} {
		email := "ines@millgate.example"
		if password == "ines.marlow1" {
			email = "Ines.Marlow@millgate.example"
		}
		if got := len(checkPassword(password, email)) == 0; got != ok {
			t.Errorf("%q: %t", password, got)
		}
	}
}

// The common list holds nothing that is too short to be taken anyway.
func TestCommonPasswords(t *testing.T) {
	n := 0
	for line := range strings.Lines(common) {
		n++
		word := strings.TrimSpace(line)
		if len(word) < MinPassword || word != strings.ToLower(word) {
			t.Errorf("%q", word)
		}
	}
	if n < 200 {
		t.Errorf("%d words", n)
	}
}

func BenchmarkHash(b *testing.B) {
	for _, cost := range []Cost{{19 << 10, 2, 1}, DefaultCost, {64 << 10, 3, 1}} {
		b.Run(fmt.Sprintf("m=%dMiB,t=%d,p=%d", cost.MemoryKiB>>10, cost.Passes, cost.Lanes), func(b *testing.B) {
			h := phc{cost: cost, salt: make([]byte, saltBytes)}
			for b.Loop() {
				h.of(phrase)
			}
		})
	}
}
