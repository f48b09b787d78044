package sqlite

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/store/storetest"
)

// smallDisk tells the test program that it has a mount table of its own, and
// where to put a disk of two megabytes.
const smallDisk = "APLOMB_SMALL_DISK"

// TestFullDisk fills a real file system, in a program with a mount table of its
// own, so that nothing of it stays.
func TestFullDisk(t *testing.T) {
	cmd := exec.Command(os.Args[0], "-test.run=^TestOnSmallDisk$", "-test.v")
	cmd.Env = append(os.Environ(), smallDisk+"="+t.TempDir())
	cmd.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS | syscall.CLONE_NEWUSER,
		UidMappings: []syscall.SysProcIDMap{{HostID: os.Getuid(), Size: 1}}, GidMappings: []syscall.SysProcIDMap{{HostID: os.Getgid(), Size: 1}}}
	out, err := cmd.CombinedOutput()
	var ended *exec.ExitError
	if err != nil && !errors.As(err, &ended) {
		t.Skipf("this machine gives a program no mount table of its own: %v", err)
	}
	if strings.Contains(string(out), "--- SKIP") {
		t.Skipf("this machine lets no small disk be mounted: %s", out)
	}
	if err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	t.Logf("%s", out)
}

// TestOnSmallDisk is the program with the small disk, not a test of its own.
func TestOnSmallDisk(t *testing.T) {
	disk := os.Getenv(smallDisk)
	if disk == "" {
		return
	}
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=2m"); err != nil {
		t.Skip(err)
	}
	path := filepath.Join(disk, "studio.db")
	s, err := openAt(path)
	must(t, err)
	_, err = s.PutStudio(t.Context(), someone, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0)
	must(t, err)
	kept := untilFull(t, s)
	t.Logf("%d students fit", kept)
	wholeFile(t, s, kept)
	must(t, s.Close())

	_, err = openAt(filepath.Join(disk, "another.db"))
	refused(t, err, practice.StoreFull)
	s, err = openAt(path) // while the disk is still full
	if err != nil {
		refused(t, err, practice.StoreFull)
	} else {
		wholeFile(t, s, kept)
		must(t, s.Close())
	}
	must(t, syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT, "size=20m"))
	s, err = openAt(path)
	must(t, err)
	wholeFile(t, s, kept)
	_, err = s.PutStudent(t.Context(), someone, practice.Student{ID: "mira", Name: "Mira"}, 0)
	must(t, err)
	must(t, s.Close())
}

// untilFull keeps students until there is no room.
func untilFull(t *testing.T, s *store.Store) (kept int) {
	for ; kept < 1000; kept++ {
		v := practice.Student{ID: fmt.Sprint("s", kept), Name: "One of many", Background: strings.Repeat("x", 20_000)}
		if _, err := s.PutStudent(t.Context(), someone, v, 0); err != nil {
			refused(t, err, practice.StoreFull)
			return kept
		}
	}
	t.Fatal("a thousand students fit on a disk of two megabytes")
	return 0
}

// wholeFile holds that every student answered for is there with its line of the
// trail, and no other.
func wholeFile(t *testing.T, s *store.Store, students int) {
	t.Helper()
	must(t, s.Verify(t.Context()))
	all, err := storetest.ReadAll(s, someone)
	must(t, err)
	if len(all.Students) != students || len(all.Trail) != students+1 {
		t.Errorf("%d students and %d lines, want %d and one more", len(all.Students), len(all.Trail), students)
	}
}
