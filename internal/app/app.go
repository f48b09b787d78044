package app

import (
	"context"
	"crypto/rand"
	"crypto/tls"
	"errors"
	"log/slog"
	mathrand "math/rand/v2"
	"net"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"aplomb/internal/account"
	"aplomb/internal/desk"
	"aplomb/internal/library"
	"aplomb/internal/logbook"
	"aplomb/internal/planning"
	"aplomb/internal/practice"
	"aplomb/internal/roster"
	"aplomb/internal/store"
	"aplomb/internal/web"
	"aplomb/internal/words"
)

const (
	// stopWithin is how long requests may take to end when the program stops.
	stopWithin = 10 * time.Second
	// weekBudget is how long the exact plan of one week may search before the
	// best found is taken with its bound.
	weekBudget = 150 * time.Millisecond
	// hashes are how many passwords are worked out at once: 64 MiB each.
	hashes = 2
)

// App is the program with its pages, listening.
type App struct {
	URL     string
	Sealed  bool // whether the key of the health notes is there
	store   *store.Store
	account *account.Account
	desk    *desk.Desk
	records *keeper
	listen  net.Listener
	server  *http.Server
	log     *slog.Logger
}

// New opens everything and listens. A set-up that may not be served is a
// [Findings] error.
func New(ctx context.Context, c Config) (*App, error) {
	if grave := c.servable().grave(); len(grave) > 0 {
		return nil, grave
	}
	listen, err := c.listener(ctx)
	if err != nil {
		return nil, err
	}
	a := &App{listen: listen, URL: c.url(listen.Addr()), log: c.Log}
	if err := a.wire(ctx, c); err != nil {
		return nil, errors.Join(err, a.Close())
	}
	return a, nil
}

// listener takes the address, and TLS where there is a certificate.
func (c Config) listener(ctx context.Context) (net.Listener, error) {
	listen, err := (&net.ListenConfig{}).Listen(ctx, "tcp", c.listen())
	if err != nil {
		return nil, Findings{{ID: "listen", With: []any{"address", c.listen(), "cause", err.Error()}, Grave: true}}
	}
	if c.TLSCert == "" {
		return listen, nil
	}
	pair, err := tls.LoadX509KeyPair(c.TLSCert, c.TLSKey)
	if err != nil {
		return nil, errors.Join(err, listen.Close())
	}
	return tls.NewListener(listen, &tls.Config{Certificates: []tls.Certificate{pair}, MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}}), nil
}

func (a *App) wire(ctx context.Context, c Config) (err error) {
	if a.store, a.Sealed, err = c.OpenStore(ctx); err != nil {
		return err
	}
	pupils := roster.New(a.store, c.Now, NewID)
	if a.account, err = c.account(a.store, pupils, a.URL); err != nil {
		return err
	}
	a.desk = desk.New(a.store, pupils, merged, c.Now)
	bench := planning.NewBench(a.store, pupils, a.desk, weekBudget, c.Now, mathrand.Uint64)
	a.records = &keeper{config: c, store: a.store, opens: a.Sealed, roster: pupils, book: words.English}
	pages, err := web.New(web.Config{Account: a.account, Roster: pupils, Desk: a.desk, Bench: bench, Ready: a.ready,
		Records: a.records, Logbook: logbook.New(a.store, library.Builtin(), c.Now), Words: words.English, Log: c.Log, Now: c.Now,
		URL: a.URL, Proxies: c.proxies(), ProxiesOnly: c.behindProxy()})
	if err != nil {
		return err
	}
	a.server = &http.Server{Handler: pages, ReadHeaderTimeout: web.ReadHeaderTimeout, ReadTimeout: web.ReadTimeout,
		WriteTimeout: web.WriteTimeout, IdleTimeout: web.IdleTimeout, MaxHeaderBytes: web.MaxHeaderBytes,
		ErrorLog: slog.NewLogLogger(c.Log.Handler(), slog.LevelInfo)}
	return nil
}

// merged is the built-in library with a studio's own drills.
func merged(own []practice.Drill) *practice.Library { return library.Merge(library.Builtin(), own) }

func (c Config) account(s *store.Store, pupils *roster.Roster, url string) (*account.Account, error) {
	cost := c.HashCost
	if cost == (account.Cost{}) {
		cost = account.DefaultCost
	}
	return account.New(account.Parts{Store: s, Ties: pupils, Now: c.Now, NewID: NewID, Random: rand.Reader, Cost: cost, Hashes: hashes, URL: url})
}

func (a *App) ready(ctx context.Context) error {
	_, err := a.store.Studios(ctx)
	return err
}

// Way is a link for an owner who has no way in yet.
type Way struct {
	Studio string // empty: of the first owner of all
	Link   string
}

// Ways makes the links of owners who have no way in: the first of all, or that
// of a studio that was imported.
func (a *App) Ways(ctx context.Context) (ways []Way, err error) {
	first, ok, err := a.account.FirstLink(ctx)
	if err != nil {
		return nil, err
	}
	if ok {
		return []Way{{Link: a.URL + first.Path}}, nil
	}
	studios, err := a.store.Studios(ctx)
	if err != nil {
		return nil, err
	}
	for _, s := range studios {
		if in, err := a.account.OwnerIn(ctx, s.ID); in || err != nil {
			if err != nil {
				return nil, err
			}
			continue
		}
		link, _, err := a.account.OwnerLink(ctx, s.ID, "")
		if err != nil {
			return nil, err
		}
		ways = append(ways, Way{s.Name, a.URL + link.Path})
	}
	return ways, nil
}

// Run serves until the context ends, then lets requests under way finish.
func (a *App) Run(ctx context.Context) error {
	failed := make(chan error, 1)
	go func() { failed <- a.server.Serve(a.listen) }()
	work, rest := context.WithCancel(ctx)
	var worked sync.WaitGroup
	worked.Go(func() { a.refresh(work) })
	worked.Go(func() { a.sweep(work) })
	defer worked.Wait()
	defer rest()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopWithin)
	defer cancel()
	if err := a.server.Shutdown(stop); err != nil {
		return err
	}
	if err := <-failed; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

// sweepEvery is how often sign-ins and links that expired are ended for good.
const sweepEvery = time.Hour

// sweep ends what expired, now and every hour, until the context ends.
func (a *App) sweep(ctx context.Context) {
	for {
		if err := a.account.RemoveExpired(ctx); err != nil && ctx.Err() == nil {
			a.log.Error("sign-ins that expired", "cause", err.Error())
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(sweepEvery):
		}
	}
}

// Between two rounds of working out looks the program rests; a round does so
// many of each studio.
const (
	restBetween = 2 * time.Second
	looksARound = 20
)

// refresh works out the looks that are not fresh, of every studio, until the
// context ends: after midnight all of them, then whose record was changed.
func (a *App) refresh(ctx context.Context) {
	for {
		did, err := a.round(ctx)
		if err != nil && ctx.Err() == nil {
			a.log.Error("looks", "cause", err.Error())
		}
		wait := restBetween
		if did > 0 && err == nil {
			wait = 0
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(wait):
		}
	}
}

func (a *App) round(ctx context.Context) (did int, err error) {
	studios, err := a.store.Studios(ctx)
	if err != nil {
		return 0, err
	}
	for _, s := range studios {
		n, err := a.desk.Refresh(ctx, s.ID, looksARound)
		did += n
		if err == nil && n == 0 { // what is learned together comes when nothing else waits
			_, err = a.desk.Learn(ctx, s.ID)
		}
		if err != nil {
			return did, err
		}
	}
	return did, nil
}

// Close lets go of the address and the store.
func (a *App) Close() error {
	var err error
	if a.server != nil {
		err = a.server.Close()
	}
	if cause := a.listen.Close(); !errors.Is(cause, net.ErrClosed) {
		err = errors.Join(err, cause)
	}
	if a.store != nil {
		err = errors.Join(err, a.store.Close())
	}
	return err
}

// OwnerLink makes the link of an owner who lost every other way in, on the
// machine itself and without the pages running.
func OwnerLink(ctx context.Context, c Config, studio, person string) (link string, p practice.Person, expires practice.Instant, err error) {
	s, _, err := c.OpenStore(ctx)
	if err != nil {
		return "", p, expires, err
	}
	defer s.Close()
	one, err := only(ctx, s, studio)
	if err != nil {
		return "", p, expires, err
	}
	url := c.url(nil)
	acc, err := c.account(s, roster.New(s, c.Now, NewID), url)
	if err != nil {
		return "", p, expires, err
	}
	l, p, err := acc.OwnerLink(ctx, one.ID, person)
	if err != nil {
		return "", p, expires, err
	}
	return url + l.Path, p, *l.Expires, nil
}

func (c Config) listen() string {
	if c.Listen == "" {
		return DefaultListen
	}
	return c.Listen
}

// url is the public origin: what was said, or this machine at the port.
func (c Config) url(at net.Addr) string {
	if c.URL != "" {
		return strings.TrimSuffix(c.URL, "/")
	}
	_, port, _ := net.SplitHostPort(c.listen())
	if tcp, ok := at.(*net.TCPAddr); ok {
		port = strconv.Itoa(tcp.Port)
	}
	scheme := "http://"
	if c.TLSCert != "" {
		scheme = "https://"
	}
	return scheme + net.JoinHostPort("localhost", port)
}
