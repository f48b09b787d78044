package postgres

import (
	"bytes"
	"context"
	"database/sql"
	"errors"
	"io"
	"math"
	"math/rand/v2"
	"net"
	"net/url"
	"os"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"aplomb/internal/store"
	"aplomb/internal/store/storetest"
)

// TestCuts cuts the connection of eight writers at random moments, again and
// again on one database that keeps its promises on disk: at the line, at any byte
// of what goes over it, or by the server ending their sessions. Everything that was answered for is there,
// nothing is half there. APLOMB_KILLS says how often; 10 times where it says
// nothing.
func TestCuts(t *testing.T) {
	cuts := 10
	if n, err := strconv.Atoi(os.Getenv("APLOMB_KILLS")); err == nil {
		cuts = n
	} else if testing.Short() {
		cuts = 2
	}
	durable, err := storetest.StartServer(true)
	if err != nil {
		t.Skip(err)
	}
	t.Cleanup(durable.Stop)
	uri := durable.Database(t)
	direct := func(do func(*store.Store)) {
		t.Helper()
		s, err := Open(t.Context(), uri, storetest.TheKey, time.Now, storetest.NewID)
		if err != nil {
			t.Fatal(err)
		}
		defer s.Close()
		do(s)
	}
	direct(func(s *store.Store) {
		if err := storetest.Furnish(t.Context(), s); err != nil {
			t.Fatal(err)
		}
	})
	seed := uint64(time.Now().UnixNano())
	rng := rand.New(rand.NewPCG(seed, 1))
	var told storetest.Told
	for round := range cuts {
		l := lineTo(t, uri)
		after, cut := time.Duration(50+rng.IntN(300))*time.Millisecond, l.cut
		switch round % 3 {
		case 1: // in the middle of what is said, not at a time
			after = 10 * time.Second
			l.left.Store(20_000 + rng.Int64N(400_000))
		case 2:
			cut = func() { endSessions(t, uri) }
		}
		timer := time.AfterFunc(after, cut)
		var out bytes.Buffer
		if through, err := Open(context.Background(), l.uri, storetest.TheKey, time.Now, storetest.NewID); err == nil {
			if storetest.Write(context.Background(), through, round, &out) == nil {
				t.Fatal("the writers ended by themselves")
			}
			through.Close() // whatever it says of connections that are gone
		}
		timer.Stop()
		l.cut()
		if err := told.Read(&out); err != nil {
			t.Fatal(err)
		}
		settle(t, uri)
		direct(func(s *store.Store) { told.Check(t, s) })
		if t.Failed() {
			t.Fatalf("seed %d, cut %d", seed, round)
		}
	}
	t.Logf("%d cuts, %d changes answered for, seed %d", cuts, told.Lines, seed)
	if told.Lines < cuts {
		t.Errorf("%d changes in %d cuts: the writers hardly wrote", told.Lines, cuts)
	}
}

// line is a way to the server that can be cut.
type line struct {
	uri    string
	listen net.Listener
	mu     sync.Mutex
	ends   []net.Conn
	gone   bool
	left   atomic.Int64 // bytes until it is cut
}

// counted is an end that cuts the line after its last byte.
type counted struct {
	net.Conn
	line *line
}

func (c counted) Write(p []byte) (int, error) {
	left := c.line.left.Add(-int64(len(p)))
	if left >= 0 {
		return c.Conn.Write(p)
	}
	n, err := c.Conn.Write(p[:max(0, int64(len(p))+left)])
	c.line.cut()
	return n, errors.Join(err, net.ErrClosed)
}

// lineTo listens and passes everything on to the server of the address.
func lineTo(t *testing.T, uri string) *line {
	t.Helper()
	u, err := url.Parse(uri)
	if err != nil {
		t.Fatal(err)
	}
	network, address := "tcp", u.Host
	if host := u.Query().Get("host"); host != "" { // a socket in a folder
		port := u.Query().Get("port")
		if port == "" {
			port = "5432"
		}
		network, address = "unix", host+"/.s.PGSQL."+port
	}
	l := &line{}
	l.left.Store(math.MaxInt64)
	if l.listen, err = net.Listen("tcp", "127.0.0.1:0"); err != nil {
		t.Fatal(err)
	}
	q := u.Query()
	q.Del("host")
	q.Del("port")
	u.Host, u.RawQuery = l.listen.Addr().String(), q.Encode()
	l.uri = u.String()
	go func() {
		for {
			client, err := l.listen.Accept()
			if err != nil {
				return
			}
			server, err := net.Dial(network, address)
			if err != nil || !l.keep(client, server) {
				client.Close()
				continue
			}
			go io.Copy(counted{server, l}, client)
			go io.Copy(counted{client, l}, server)
		}
	}()
	return l
}

func (l *line) keep(ends ...net.Conn) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.ends = append(l.ends, ends...)
	return !l.gone
}

// cut ends everything at once.
func (l *line) cut() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.gone = true
	l.listen.Close()
	for _, end := range l.ends {
		end.Close()
	}
}

// endSessions has the server end every session that wrote lately but its own.
func endSessions(t *testing.T, uri string) {
	db, err := sql.Open("pgx", uri)
	if err != nil {
		t.Error(err)
		return
	}
	defer db.Close()
	if _, err := db.Exec(`SELECT pg_terminate_backend(pid) FROM pg_stat_activity
		WHERE datname = current_database() AND pid <> pg_backend_pid()`); err != nil {
		t.Error(err)
	}
}

// settle waits until no session is still at work on what was cut off.
func settle(t *testing.T, uri string) {
	t.Helper()
	db, err := sql.Open("pgx", uri)
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var busy sql.NullString
	for range 200 {
		err := db.QueryRow(`SELECT STRING_AGG(CONCAT_WS(' ', state, wait_event, query), '; ') FROM pg_stat_activity
			WHERE datname = current_database() AND pid <> pg_backend_pid() AND state <> 'idle'`).Scan(&busy)
		if err != nil {
			t.Fatal(err)
		}
		if !busy.Valid {
			return
		}
		time.Sleep(20 * time.Millisecond)
	}
	t.Fatalf("at work although the client is gone: %s", busy.String)
}
