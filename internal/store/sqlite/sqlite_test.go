package sqlite

import (
	"context"
	"path/filepath"
	"testing"

	"aplomb/internal/store"
	"aplomb/internal/store/storetest"
)

func fresh(t testing.TB) storetest.Opener { return at(t, filepath.Join(t.TempDir(), "studio.db")) }

func at(t testing.TB, path string) storetest.Opener {
	return func(seal store.Sealer) *store.Store {
		s, err := Open(context.Background(), path, seal, storetest.Now, storetest.NewID)
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
