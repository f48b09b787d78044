package app

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"errors"
	"io"
	"log/slog"
	"math/big"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"aplomb/internal/practice"
	"aplomb/internal/vault"
)

func quiet() *slog.Logger { return slog.New(slog.NewTextHandler(io.Discard, nil)) }

// certificate is one for localhost that nobody else trusts.
func certificate(t *testing.T) (cert, key string) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	now := time.Now()
	template := &x509.Certificate{SerialNumber: big.NewInt(1), DNSNames: []string{"localhost"}, NotBefore: now.Add(-time.Hour), NotAfter: now.Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, template, template, &k.PublicKey, k)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := x509.MarshalPKCS8PrivateKey(k)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for path, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: raw}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

func TestServesByTLS(t *testing.T) {
	cert, key := certificate(t)
	a, err := New(t.Context(), Config{Data: t.TempDir(), Listen: "localhost:0", TLSCert: cert, TLSKey: key, Now: time.Now, Log: quiet()})
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ran := make(chan error, 1)
	go func() { ran <- a.Run(ctx) }()
	pool := x509.NewCertPool()
	raw, err := os.ReadFile(cert)
	if err != nil {
		t.Fatal(err)
	}
	pool.AppendCertsFromPEM(raw)
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{RootCAs: pool}, ForceAttemptHTTP2: true}}
	defer client.CloseIdleConnections()
	got, err := client.Get(a.URL + "/sign-in")
	if err != nil {
		t.Fatal(err)
	}
	got.Body.Close()
	if got.StatusCode != http.StatusOK || got.Header.Get("Strict-Transport-Security") == "" || got.ProtoMajor != 2 {
		t.Errorf("%s %s %v", got.Status, got.Proto, got.Header)
	}
	if _, err := tls.Dial("tcp", strings.TrimPrefix(a.URL, "https://"), &tls.Config{RootCAs: pool, MaxVersion: tls.VersionTLS11}); err == nil {
		t.Error("TLS 1.1 was taken")
	}
	stop()
	if err := <-ran; err != nil {
		t.Error(err)
	}
	if err := a.Close(); err != nil {
		t.Error(err)
	}
}

// What expired is ended for good when the program starts.
func TestSweepsAtStart(t *testing.T) {
	c := Config{Data: t.TempDir(), Listen: "localhost:0", Now: time.Now, Log: quiet()}
	a, err := New(t.Context(), c)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	who := practice.Who{Studio: "millgate", ID: "ines", Role: practice.Owner}
	if _, err := a.store.PutStudio(t.Context(), who, practice.Studio{ID: "millgate", Name: "Millgate Hall"}, 0); err != nil {
		t.Fatal(err)
	}
	old, gone := practice.Instant{UnixNano: 1}, practice.Instant{UnixNano: 2}
	if err := a.store.PutDoor(t.Context(), who, practice.Door{Hash: "aa", For: practice.InviteDoor, Of: "tom", Made: old, Expires: &gone}); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(t.Context())
	ran := make(chan error, 1)
	go func() { ran <- a.Run(ctx) }()
	for deadline := time.Now().Add(30 * time.Second); ; time.Sleep(10 * time.Millisecond) {
		doors, err := a.store.Doors(t.Context(), who)
		if err == nil && len(doors) == 0 {
			break
		}
		if err != nil || time.Now().After(deadline) {
			t.Fatalf("%d links, %v", len(doors), err)
		}
	}
	stop()
	if err := <-ran; err != nil {
		t.Error(err)
	}
}

// A request that is under way when the program is told to stop is answered.
func TestStopsGracefully(t *testing.T) {
	a, err := New(t.Context(), Config{Data: t.TempDir(), Listen: "localhost:0", Now: time.Now, Log: quiet()})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	begun, finish := make(chan bool), make(chan bool)
	pages := a.server.Handler
	a.server.Handler = http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		close(begun)
		<-finish
		pages.ServeHTTP(w, r)
	})
	ctx, stop := context.WithCancel(t.Context())
	ran, answered := make(chan error, 1), make(chan string, 1)
	go func() { ran <- a.Run(ctx) }()
	go func() {
		got, err := http.Get(a.URL + "/healthz")
		if err != nil {
			answered <- err.Error()
			return
		}
		defer got.Body.Close()
		answered <- got.Status
	}()
	<-begun
	stop()
	select {
	case err := <-ran:
		t.Fatalf("stopped before the answer: %v", err)
	case <-time.After(50 * time.Millisecond):
	}
	close(finish)
	if got := <-answered; got != "200 OK" {
		t.Error(got)
	}
	if err := <-ran; err != nil {
		t.Error(err)
	}
}

func TestBadSetUpIsNotServed(t *testing.T) {
	_, err := New(t.Context(), Config{Data: t.TempDir(), Listen: ":80", Now: time.Now, Log: quiet()})
	var found Findings
	if !errors.As(err, &found) || len(found) != 2 {
		t.Errorf("%v", err)
	}
	a, err := New(t.Context(), Config{Data: t.TempDir(), Listen: "localhost:0", Now: time.Now, Log: quiet()})
	if err != nil {
		t.Fatal(err)
	}
	defer a.Close()
	_, err = New(t.Context(), Config{Data: t.TempDir(), Listen: strings.TrimPrefix(a.URL, "http://"), Now: time.Now, Log: quiet()})
	if !errors.As(err, &found) || found[0].ID != "listen" {
		t.Errorf("the same address twice: %v", err)
	}
}

func TestOwnerLinkOfTheMachine(t *testing.T) {
	c := Config{Data: t.TempDir(), Now: time.Now, Log: quiet(), URL: "https://desk.millgate.example"}
	s, _, err := c.OpenStore(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	for _, id := range []string{"millgate-hall", "other"} {
		if _, err := s.PutStudio(t.Context(), atDesk(id), practice.Studio{Format: 2, ID: id, Name: id}, 0); err != nil {
			t.Fatal(err)
		}
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	link, _, _, err := OwnerLink(t.Context(), c, "millgate-hall", "")
	if err != nil || !strings.HasPrefix(link, "https://desk.millgate.example/in/millgate-hall/") {
		t.Errorf("%s, %v", link, err)
	}
	for _, studio := range []string{"", "millgate"} {
		if _, _, _, err := OwnerLink(t.Context(), c, studio, ""); !practice.HasCode(err, practice.NotFound) {
			t.Errorf("%q: %v", studio, err)
		}
	}
}

func ids(fs Findings) (out []string) {
	for _, f := range fs {
		out = append(out, f.ID)
	}
	return out
}

func TestSelfcheck(t *testing.T) {
	now := time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)
	c := Config{Data: filepath.Join(t.TempDir(), "aplomb"), Now: func() time.Time { return now }, Log: quiet()}
	if got := ids(Selfcheck(t.Context(), c)); !slices.Equal(got, []string{"empty"}) {
		t.Errorf("nothing there: %v", got)
	}
	if _, err := os.Stat(c.Data); err == nil {
		t.Error("looking made a folder")
	}
	s, _, err := c.OpenStore(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.PutStudio(t.Context(), atDesk("millgate-hall"), practice.Studio{Format: 2, ID: "millgate-hall", Name: "Millgate Hall"}, 0); err != nil {
		t.Fatal(err)
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	if got := ids(Selfcheck(t.Context(), c)); !slices.Equal(got, []string{"key", "owner"}) {
		t.Errorf("no key, no owner: %v", got)
	}
	key, _, err := vault.New()
	if err != nil {
		t.Fatal(err)
	}
	if err := key.Create(filepath.Join(c.Data, KeyFile)); err != nil {
		t.Fatal(err)
	}
	now = now.AddDate(-1, 0, 0)
	if got := ids(Selfcheck(t.Context(), c)); !slices.Equal(got, []string{"owner", "clock"}) {
		t.Errorf("a clock set back: %v", got)
	}
	if err := os.Chmod(filepath.Join(c.Data, KeyFile), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(c.Data, 0o755); err != nil {
		t.Fatal(err)
	}
	if got := ids(Selfcheck(t.Context(), c)); !slices.Equal(got, []string{"open", "fault"}) {
		t.Errorf("open to others: %v", got)
	}
	broken := Config{Data: filepath.Join(t.TempDir(), "records"), Now: c.Now, Log: quiet()}
	if err := os.MkdirAll(broken.Data, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(broken.Data, StoreFile), []byte(strings.Repeat("no database ", 100)), 0o600); err != nil {
		t.Fatal(err)
	}
	if got := ids(Selfcheck(t.Context(), broken)); !slices.Equal(got, []string{"fault"}) {
		t.Errorf("no database in it: %v", got)
	}
}

// A studio that was imported has no owner with a way in: each gets a link.
func TestWaysOfAnImportedStudio(t *testing.T) {
	a, err := New(t.Context(), Config{Data: t.TempDir(), Listen: "localhost:0", Now: time.Now, Log: quiet()})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := a.store.PutStudio(t.Context(), atDesk("ellery"), practice.Studio{Format: 2, ID: "ellery", Name: "Ellery"}, 0); err != nil {
		t.Fatal(err)
	}
	ways, err := a.Ways(t.Context())
	if err != nil || len(ways) != 1 || ways[0].Studio != "Ellery" || !strings.HasPrefix(ways[0].Link, a.URL+"/in/ellery/") {
		t.Errorf("%+v, %v", ways, err)
	}
	if err := a.ready(t.Context()); err != nil {
		t.Error(err)
	}
	if err := a.Close(); err != nil {
		t.Fatal(err)
	}
	if err := a.ready(t.Context()); err == nil {
		t.Error("ready with its store closed")
	}
}
