// Package app puts the program together: a store, its key, who may come in,
// and the pages, as one thing that runs and is closed.
package app

import (
	"context"
	"crypto/rand"
	"errors"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"time"

	"aplomb/internal/account"
	"aplomb/internal/practice"
	"aplomb/internal/store"
	"aplomb/internal/store/postgres"
	"aplomb/internal/store/sqlite"
	"aplomb/internal/vault"
)

// Config is how the program was asked to run.
type Config struct {
	Data     string // folder of the store and the key; empty: [DefaultData]
	DB       string // postgres://… instead of the file in Data
	Key      string // file of the key of the health notes; empty: KeyText, then health.key in Data
	KeyText  string // what APLOMB_KEY holds: the key or the path of its file
	Listen   string // host:port; empty: [DefaultListen]
	URL      string // the public origin; empty: http://localhost with the port
	TLSCert  string
	TLSKey   string
	Proxies  []string // networks of trusted proxies, as 10.0.0.0/8
	Now      func() time.Time
	Log      *slog.Logger
	HashCost account.Cost // zero: [account.DefaultCost]
}

// DefaultListen is where the program listens unless told otherwise: this
// machine alone.
const DefaultListen = "localhost:8420"

// DefaultData is the folder of this user's studios.
func DefaultData() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", practice.Fault{Code: practice.NotThere, Field: "--data", Want: "a folder for the studio's records", Err: err}
	}
	return filepath.Join(dir, "aplomb"), nil
}

// data is the folder of the config.
func (c Config) data() (string, error) {
	if c.Data != "" {
		return c.Data, nil
	}
	return DefaultData()
}

// File names in the data folder.
const (
	StoreFile = "studio.db"
	KeyFile   = "health.key"
)

// OpenKey reads the key of the health notes; nil where there is none, for
// then everything else still works.
func (c Config) OpenKey() (*vault.Key, error) {
	switch {
	case c.Key != "":
		return vault.ReadKey(c.Key)
	case c.KeyText != "":
		return vault.FromEnvironment(c.KeyText)
	}
	dir, err := c.data()
	if err != nil {
		return nil, err
	}
	key, err := vault.ReadKey(filepath.Join(dir, KeyFile))
	if practice.HasCode(err, practice.NoKey) {
		return nil, nil
	}
	return key, err
}

// OpenStore opens the store of the config, making the data folder where it is
// not, and says whether the key of the health notes is there.
func (c Config) OpenStore(ctx context.Context) (s *store.Store, sealed bool, err error) {
	key, err := c.OpenKey()
	if err != nil {
		return nil, false, err
	}
	var seal store.Sealer // a nil key must not become a sealer that is not nil
	if key != nil && key.Seals() {
		seal = key
	}
	if s, err = c.open(ctx, seal); err != nil {
		return nil, false, err
	}
	return s, seal != nil, nil
}

func (c Config) open(ctx context.Context, seal store.Sealer) (*store.Store, error) {
	if c.DB != "" {
		return postgres.Open(ctx, c.DB, seal, c.Now, NewID)
	}
	dir, err := c.data()
	if err != nil {
		return nil, err
	}
	if err := os.MkdirAll(dir, 0o700); err != nil {
		code := practice.NotWritten
		if errors.Is(err, fs.ErrPermission) {
			code = practice.StoreReadOnly
		}
		return nil, practice.Fault{Code: code, File: dir, Err: err}
	}
	return sqlite.Open(ctx, filepath.Join(dir, StoreFile), seal, c.Now, NewID)
}

// NewID is an id nobody has: 26 letters and digits, 130 bits of chance.
func NewID() string { return strings.ToLower(rand.Text()) }
