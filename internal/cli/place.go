package cli

import (
	"log/slog"
	"os"

	"aplomb/internal/app"
)

// placeFlags say where a studio's records are kept, and under which key.
type placeFlags struct {
	Data string `placeholder:"DIR"`
	DB   string `name:"db" placeholder:"URL"`
	Key  string `placeholder:"FILE"`
}

// config is the place as the program opens it; APLOMB_KEY holds the key where
// no file is named.
func (p placeFlags) config(env *Env) app.Config {
	return app.Config{Data: p.Data, DB: p.DB, Key: p.Key, KeyText: os.Getenv("APLOMB_KEY"), Now: env.Now,
		Log: slog.New(slog.NewTextHandler(env.Stderr, nil))}
}

// doorFlags say where the pages are served, and as what.
type doorFlags struct {
	placeFlags
	Listen       string   `placeholder:"ADDR"`
	URL          string   `name:"url" placeholder:"URL"`
	TLSCert      string   `name:"tls-cert" placeholder:"FILE"`
	TLSKey       string   `name:"tls-key" placeholder:"FILE"`
	TrustedProxy []string `name:"trusted-proxy" placeholder:"CIDR"`
}

func (d doorFlags) config(env *Env) app.Config {
	c := d.placeFlags.config(env)
	c.Listen, c.URL, c.TLSCert, c.TLSKey, c.Proxies = d.Listen, d.URL, d.TLSCert, d.TLSKey, d.TrustedProxy
	return c
}
