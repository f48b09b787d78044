package app

import (
	"crypto/tls"
	"net"
	"net/netip"
	"net/url"
	"strings"

	"aplomb/internal/words"
)

// Finding is one thing about the set-up that is not as it should be.
type Finding struct {
	ID    string // of its sentences: selfcheck.ID, and selfcheck.ID.fix
	With  []any  // what they are filled with
	Grave bool   // nothing is served with it
}

// Say is what is wrong and what to do.
func (f Finding) Say(b *words.Book) string {
	return b.Say("selfcheck."+f.ID, f.With...) + " " + b.Say("selfcheck."+f.ID+".fix", f.With...)
}

// Findings are an error where they keep the program from serving.
type Findings []Finding

func (fs Findings) Error() string {
	ids := make([]string, len(fs))
	for i, f := range fs {
		ids[i] = f.ID
	}
	return "app: " + strings.Join(ids, ", ")
}

func (fs Findings) grave() (out Findings) {
	for _, f := range fs {
		if f.Grave {
			out = append(out, f)
		}
	}
	return out
}

// servable is what is wrong with how the pages would be served: plain http
// stays on this machine, or behind a proxy that was named.
func (c Config) servable() (fs Findings) {
	add := func(id string, with ...any) { fs = append(fs, Finding{id, with, true}) }
	host, _, err := net.SplitHostPort(c.listen())
	if err != nil {
		add("address", "address", c.listen())
		return fs
	}
	if (c.TLSCert == "") != (c.TLSKey == "") {
		add("tls.half")
	} else if c.TLSCert != "" {
		if _, err := tls.LoadX509KeyPair(c.TLSCert, c.TLSKey); err != nil {
			add("tls.pair", "cause", err.Error())
		}
	}
	for _, p := range c.Proxies {
		if _, err := network(p); err != nil {
			add("proxy", "value", p)
		}
	}
	if !loopback(host) {
		if c.TLSCert == "" && len(c.Proxies) == 0 {
			add("plain", "address", c.listen())
		}
		if c.URL == "" {
			add("url.missing", "address", c.listen())
		}
	}
	return append(fs, c.origin()...)
}

// origin is what is wrong with the public address.
func (c Config) origin() (fs Findings) {
	if c.URL == "" {
		return nil
	}
	u, err := url.Parse(c.URL)
	switch {
	case err != nil, u.Host == "", u.Scheme != "http" && u.Scheme != "https", u.Path != "" && u.Path != "/", u.RawQuery != "", u.User != nil:
		return Findings{{"url", []any{"url", c.URL}, true}}
	case u.Scheme == "http" && !loopback(u.Hostname()):
		return Findings{{"url.plain", []any{"url", c.URL}, true}}
	case u.Scheme == "http" && c.TLSCert != "":
		return Findings{{"url.tls", []any{"url", c.URL}, true}}
	}
	if _, err := netip.ParseAddr(u.Hostname()); err == nil {
		fs = append(fs, Finding{"url.number", []any{"url", c.URL}, false})
	}
	return fs
}

func loopback(host string) bool {
	a, err := netip.ParseAddr(host)
	return host == "localhost" || strings.HasSuffix(host, ".localhost") || err == nil && a.IsLoopback()
}

// network is an address or a range of them.
func network(s string) (netip.Prefix, error) {
	if a, err := netip.ParseAddr(s); err == nil {
		return a.Prefix(a.BitLen())
	}
	return netip.ParsePrefix(s)
}

// proxies are the networks of the config, which [Config.servable] has read.
func (c Config) proxies() (out []netip.Prefix) {
	for _, s := range c.Proxies {
		if p, err := network(s); err == nil {
			out = append(out, p)
		}
	}
	return out
}

// behindProxy says whether only named proxies may ask: plain http that leaves
// this machine.
func (c Config) behindProxy() bool {
	host, _, _ := net.SplitHostPort(c.listen())
	return c.TLSCert == "" && !loopback(host)
}
