package sqlite

import (
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"aplomb/internal/store/storetest"
)

// killsPath tells the test program that it is to write until it is killed.
const killsPath = "APLOMB_KILL_PATH"

// TestWriteUntilKilled is the program that is killed, not a test.
func TestWriteUntilKilled(t *testing.T) {
	path := os.Getenv(killsPath)
	if path == "" {
		return
	}
	round, err := strconv.Atoi(os.Getenv("APLOMB_KILL_ROUND"))
	if err != nil {
		t.Fatal(err)
	}
	s, err := Open(t.Context(), path, storetest.TheKey, time.Now, ids(fmt.Sprintf("r%d-", round)))
	if err != nil {
		t.Fatal(err)
	}
	t.Fatal(storetest.Write(context.Background(), s, round, os.Stdout))
}

func ids(prefix string) func() string {
	return func() string { return prefix + strconv.FormatUint(rand.Uint64(), 36) }
}

// TestKills kills a program with eight writers at random moments, again and
// again on one database: everything that was answered for is there, nothing is
// half there. APLOMB_KILLS says how often; 20 times where it says nothing.
func TestKills(t *testing.T) {
	kills := 20
	if n, err := strconv.Atoi(os.Getenv("APLOMB_KILLS")); err == nil {
		kills = n
	} else if testing.Short() {
		kills = 3
	}
	path := filepath.Join(t.TempDir(), "studio.db")
	s, err := Open(t.Context(), path, storetest.TheKey, time.Now, ids("first-"))
	if err != nil {
		t.Fatal(err)
	}
	if err := storetest.Furnish(t.Context(), s); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	seed := uint64(time.Now().UnixNano())
	rng := rand.New(rand.NewPCG(seed, 1))
	var told storetest.Told
	for round := range kills {
		killOne(t, path, round, time.Duration(rng.IntN(150))*time.Millisecond, &told)
		s, err := Open(t.Context(), path, storetest.TheKey, time.Now, ids("check-"))
		if err != nil {
			t.Fatalf("seed %d, kill %d: %v", seed, round, err)
		}
		told.Check(t, s)
		if round%20 == 0 || round == kills-1 {
			if err := s.Verify(t.Context()); err != nil {
				t.Errorf("seed %d, kill %d: %v", seed, round, err)
			}
		}
		if err := s.Close(); err != nil {
			t.Fatal(err)
		}
		if t.Failed() {
			t.Fatalf("seed %d, kill %d", seed, round)
		}
	}
	t.Logf("%d kills, %d changes answered for, seed %d", kills, told.Lines, seed)
	if told.Lines < kills {
		t.Errorf("%d changes in %d kills: the writers hardly wrote", told.Lines, kills)
	}
}

// killOne starts the program and kills it so long after its first answer.
func killOne(t *testing.T, path string, round int, after time.Duration, told *storetest.Told) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run=^TestWriteUntilKilled$")
	cmd.Env = append(os.Environ(), killsPath+"="+path, "APLOMB_KILL_ROUND="+strconv.Itoa(round))
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	kill := time.AfterFunc(10*time.Second, func() { cmd.Process.Kill() }) // should it never answer
	first := &firstByte{Reader: out, then: func() { kill.Reset(after) }}
	if err := told.Read(first); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Wait(); err == nil {
		t.Fatal("the program ended by itself")
	}
}

// firstByte calls then when the first bytes come.
type firstByte struct {
	io.Reader
	then func()
}

func (f *firstByte) Read(p []byte) (int, error) {
	n, err := f.Reader.Read(p)
	if n > 0 && f.then != nil {
		f.then()
		f.then = nil
	}
	return n, err
}
