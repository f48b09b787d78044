package app

import (
	"slices"
	"strings"
	"testing"

	"aplomb/internal/words"
)

func TestServable(t *testing.T) {
	cert, key := certificate(t)
	for _, c := range []struct {
		name string
		c    Config
		want []string
	}{
		{"this machine", Config{}, nil},
		{"its number", Config{Listen: "127.0.0.1:0"}, nil},
		{"a name of this machine", Config{Listen: "localhost:0", URL: "http://desk.localhost:1"}, nil},
		{"everywhere, plainly", Config{Listen: ":80", URL: "https://desk.millgate.example"}, []string{"plain"}},
		{"everywhere, nameless", Config{Listen: "[::]:443", TLSCert: cert, TLSKey: key}, []string{"url.missing"}},
		{"behind a proxy", Config{Listen: ":80", URL: "https://desk.millgate.example", Proxies: []string{"10.0.0.0/8", "::1"}}, nil},
		{"behind a bad proxy", Config{Listen: ":80", URL: "https://desk.millgate.example", Proxies: []string{"10.0.0.0/99"}}, []string{"proxy"}},
		{"TLS", Config{Listen: ":443", URL: "https://desk.millgate.example", TLSCert: cert, TLSKey: key}, nil},
		{"half of TLS", Config{TLSCert: cert}, []string{"tls.half"}},
		{"no certificate", Config{TLSCert: key, TLSKey: cert}, []string{"tls.pair"}},
		{"http in the open", Config{URL: "http://desk.millgate.example"}, []string{"url.plain"}},
		{"http with a certificate", Config{URL: "http://localhost", TLSCert: cert, TLSKey: key}, []string{"url.tls"}},
		{"a number", Config{URL: "https://192.0.2.1"}, []string{"url.number"}},
		{"a path", Config{URL: "https://millgate.example/desk"}, []string{"url"}},
		{"no site", Config{URL: "millgate.example"}, []string{"url"}},
		{"no address", Config{Listen: "8420"}, []string{"address"}},
	} {
		var got []string
		for _, f := range c.c.servable() {
			got = append(got, f.ID)
			if s := f.Say(words.English); strings.Contains(s, "{") || len(s) < 20 {
				t.Errorf("%s: %q", c.name, s)
			}
			if f.Grave != (f.ID != "url.number") {
				t.Errorf("%s: grave %t", c.name, f.Grave)
			}
		}
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

func TestOnlyProxiesAreLetIn(t *testing.T) {
	for listen, want := range map[string]bool{"localhost:1": false, "127.0.0.1:1": false, "[::1]:1": false, ":1": true, "0.0.0.0:1": true, "desk.example:1": true} {
		if got := (Config{Listen: listen, Proxies: []string{"10.0.0.0/8"}}).behindProxy(); got != want {
			t.Errorf("%s: %t", listen, got)
		}
	}
}
