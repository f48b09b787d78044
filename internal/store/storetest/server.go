package storetest

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"fmt"
	"net/url"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	_ "github.com/jackc/pgx/v5/stdlib" // the driver
)

// Server is a PostgreSQL server in a folder of its own, reached through a socket
// there.
type Server struct {
	dir  string
	cmd  *exec.Cmd
	made atomic.Int64
	done chan error
}

// ErrNoServer is that PostgreSQL is not installed.
var ErrNoServer = errors.New("storetest: PostgreSQL is not installed: neither initdb nor postgres is on the PATH or under /usr/lib/postgresql")

// StartServer makes a cluster and starts it. Unless durable, it does not wait
// for the disk: a test that pulls no plug needs none of that.
func StartServer(durable bool) (s *Server, err error) {
	initdb, postgres := binary("initdb"), binary("postgres")
	if initdb == "" || postgres == "" {
		return nil, ErrNoServer
	}
	s = &Server{done: make(chan error, 1)}
	if s.dir, err = os.MkdirTemp("", "pg"); err != nil {
		return nil, err
	}
	defer func() {
		if err != nil {
			s.Stop()
		}
	}()
	as, err := unprivileged(s.dir)
	if err != nil {
		return nil, err
	}
	data := filepath.Join(s.dir, "data")
	first := exec.Command(initdb, "-D", data, "-U", "postgres", "-A", "trust", "-E", "UTF8", "--locale=C", "--no-sync")
	first.SysProcAttr, first.Dir = as, s.dir
	if out, err := first.CombinedOutput(); err != nil {
		return nil, fmt.Errorf("storetest: initdb: %w: %s", err, out)
	}
	settings := []string{"-D", data, "-k", s.dir, "-c", "listen_addresses=", "-c", "max_connections=300"}
	if !durable {
		settings = append(settings, "-c", "fsync=off", "-c", "full_page_writes=off")
	}
	return s, s.start(postgres, settings, as)
}

func (s *Server) start(postgres string, settings []string, as *syscall.SysProcAttr) error {
	var log bytes.Buffer
	s.cmd = exec.Command(postgres, settings...)
	s.cmd.SysProcAttr, s.cmd.Dir, s.cmd.Stdout, s.cmd.Stderr = as, s.dir, &log, &log
	if err := s.cmd.Start(); err != nil {
		return err
	}
	go func() { s.done <- s.cmd.Wait() }()
	deadline := time.Now().Add(time.Minute)
	for time.Now().Before(deadline) {
		if s.exec("SELECT 1") == nil {
			return nil
		}
		select {
		case err := <-s.done:
			s.cmd = nil
			return fmt.Errorf("storetest: postgres ended: %w: %s", err, log.String())
		case <-time.After(50 * time.Millisecond):
		}
	}
	return errors.New("storetest: postgres does not answer")
}

// Stop ends the server and removes its folder.
func (s *Server) Stop() {
	if s.cmd != nil {
		s.cmd.Process.Signal(syscall.SIGINT) // a fast shutdown
		<-s.done
	}
	os.RemoveAll(s.dir)
}

// Database makes a new empty database and is its address.
func (s *Server) Database(t testing.TB) string {
	t.Helper()
	name := "studio" + strconv.FormatInt(s.made.Add(1), 10)
	if err := s.exec("CREATE DATABASE " + name); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := s.exec("DROP DATABASE " + name + " WITH (FORCE)"); err != nil {
			t.Error(err)
		}
	})
	return s.address(name)
}

func (s *Server) address(name string) string {
	q := url.Values{"host": {s.dir}, "user": {"postgres"}, "sslmode": {"disable"}}
	return "postgres:///" + name + "?" + q.Encode()
}

func (s *Server) exec(query string) error {
	db, err := sql.Open("pgx", s.address("postgres"))
	if err != nil {
		return err
	}
	defer db.Close()
	_, err = db.ExecContext(context.Background(), query)
	return err
}

// binary finds a program of PostgreSQL, the newest there is.
func binary(name string) string {
	found, _ := filepath.Glob("/usr/lib/postgresql/*/bin/" + name)
	slices.SortFunc(found, func(a, b string) int { return version(a) - version(b) })
	if len(found) > 0 {
		return found[len(found)-1]
	}
	path, err := exec.LookPath(name)
	if err != nil {
		return ""
	}
	return path
}

func version(path string) int {
	n, _ := strconv.Atoi(filepath.Base(filepath.Dir(filepath.Dir(path)))) // not a number: the oldest
	return n
}

// unprivileged is how to run a program that refuses to be root, and gives it
// the folder.
func unprivileged(dir string) (*syscall.SysProcAttr, error) {
	if os.Getuid() != 0 {
		return nil, nil
	}
	u, err := user.Lookup("postgres")
	if err != nil {
		return nil, err
	}
	uid, err1 := strconv.Atoi(u.Uid)
	gid, err2 := strconv.Atoi(u.Gid)
	if err := errors.Join(err1, err2, os.Chown(dir, uid, gid)); err != nil {
		return nil, err
	}
	return &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}}, nil
}
