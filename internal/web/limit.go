package web

import (
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// limiter lets every key act so often. It holds few keys: a full one forgets
// those that are rested first, then whichever was longest away.
type limiter struct {
	every time.Duration
	burst int
	most  int
	now   func() time.Time
	mu    sync.Mutex
	keys  map[string]*allowance
}

type allowance struct {
	*rate.Limiter
	last time.Time
}

func newLimiter(every time.Duration, burst, most int, now func() time.Time) *limiter {
	return &limiter{every: every, burst: burst, most: most, now: now, keys: map[string]*allowance{}}
}

// allow says whether the key may act once more now.
func (l *limiter) allow(key string) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	now := l.now()
	a := l.keys[key]
	if a == nil {
		l.makeRoom(now)
		a = &allowance{Limiter: rate.NewLimiter(rate.Every(l.every), l.burst)}
		l.keys[key] = a
	}
	a.last = now
	return a.AllowN(now, 1)
}

func (l *limiter) makeRoom(now time.Time) {
	if len(l.keys) < l.most {
		return
	}
	oldest := ""
	for key, a := range l.keys {
		if a.TokensAt(now) >= float64(l.burst) {
			delete(l.keys, key)
		} else if oldest == "" || a.last.Before(l.keys[oldest].last) {
			oldest = key
		}
	}
	if len(l.keys) >= l.most {
		delete(l.keys, oldest)
	}
}

// limits are those of sign-in and of links, by address of the network and by
// the account that is tried; of phones, by student; and of files that take the
// machine a while, by who asks.
type limits struct{ signIn, account, link, sync, file *limiter }

const maxKeys = 10_000

// newLimits: a hall full of people behind one address signs in without
// waiting; one account is tried at most ten times and then 90 times an hour;
// a phone brings what it logged in a whole summer in one go.
func newLimits(now func() time.Time) limits {
	return limits{
		signIn:  newLimiter(2*time.Second, 30, maxKeys, now),
		account: newLimiter(40*time.Second, 10, maxKeys, now),
		link:    newLimiter(2*time.Second, 60, maxKeys, now),
		sync:    newLimiter(time.Second, 120, maxKeys, now),
		file:    newLimiter(10*time.Second, 20, maxKeys, now),
	}
}

// network is what counts as one address: an IPv4 address, or the /64 of IPv6
// that one household is given.
func network(a netip.Addr) string {
	if a.Is6() {
		p, _ := a.WithZone("").Prefix(64)
		return p.String()
	}
	return a.String()
}

// patient refuses who comes too often.
func (v *visit) patient(l *limiter) error {
	if !l.allow(network(v.client(v.r))) {
		return errTooOften
	}
	return nil
}
