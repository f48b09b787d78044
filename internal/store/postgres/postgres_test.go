package postgres

import (
	"context"
	"errors"
	"fmt"
	"os"
	"testing"

	"aplomb/internal/store"
	"aplomb/internal/store/storetest"
)

// server is nil where PostgreSQL is not installed.
var server *storetest.Server

func TestMain(m *testing.M) {
	var err error
	server, err = storetest.StartServer(false)
	if err != nil && !errors.Is(err, storetest.ErrNoServer) {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
	code := m.Run()
	if server != nil {
		server.Stop()
	}
	os.Exit(code)
}

func fresh(t testing.TB) storetest.Opener {
	t.Helper()
	if server == nil {
		t.Skip(storetest.ErrNoServer)
	}
	return at(t, server.Database(t))
}

func at(t testing.TB, uri string) storetest.Opener {
	return func(seal store.Sealer) *store.Store {
		s, err := Open(context.Background(), uri, seal, storetest.Now, storetest.NewID)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() {
			if err := s.Close(); err != nil {
				t.Error(err)
			}
		})
		return s
	}
}

func TestSuite(t *testing.T) { storetest.Suite(t, fresh) }

func BenchmarkStudio(b *testing.B) { storetest.Benchmark(b, fresh) }
