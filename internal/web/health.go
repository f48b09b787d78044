package web

import (
	"fmt"
	"net/http"
)

// health says that the program runs.
func health(v *visit) error { return v.plain(http.StatusOK, "ok") }

// ready says whether the store answers.
func ready(v *visit) error {
	if err := v.Ready(v.ctx()); err != nil {
		v.Log.Error("not ready", "cause", err)
		return v.plain(http.StatusServiceUnavailable, "the store does not answer")
	}
	return v.plain(http.StatusOK, "ready")
}

func (v *visit) plain(status int, text string) error {
	v.w.Header().Set("Content-Type", "text/plain; charset=utf-8")
	v.w.WriteHeader(status)
	_, err := fmt.Fprintln(v.w, text)
	return err
}
