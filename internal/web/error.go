package web

import (
	"errors"
	"net/http"

	"aplomb/internal/account"
	"aplomb/internal/practice"
)

// What pages refuse by themselves.
var (
	errNoPage     = errors.New("web: there is no such page")
	errOtherHost  = errors.New("web: asked by another name")
	errOtherSite  = errors.New("web: asked from another site")
	errNotThisWay = errors.New("web: asked past the proxy")
	errTooOften   = errors.New("web: asked too often")
	errBadForm    = errors.New("web: the form could not be read")
)

func isSignedOut(err error) bool { return errors.Is(err, account.ErrSignedOut) }

// said is how an error is answered: the status and the id of its sentences.
type said struct {
	status int
	id     string
}

func answer(err error) said {
	var tooLarge *http.MaxBytesError
	switch {
	case errors.Is(err, errNoPage), practice.HasCode(err, practice.NotFound):
		return said{http.StatusNotFound, "page"}
	case isSignedOut(err):
		return said{http.StatusUnauthorized, "signed-out"}
	case errors.Is(err, account.ErrLink):
		return said{http.StatusNotFound, "link"}
	case practice.HasCode(err, practice.NotAllowed):
		return said{http.StatusForbidden, "refused"}
	case errors.Is(err, account.ErrStale):
		return said{http.StatusForbidden, "stale"}
	case errors.Is(err, account.ErrLastOwner):
		return said{http.StatusConflict, "last"}
	case practice.HasCode(err, practice.ChangedSince):
		return said{http.StatusConflict, "changed"}
	case errors.Is(err, errOtherHost):
		return said{http.StatusMisdirectedRequest, "host"}
	case errors.Is(err, errOtherSite):
		return said{http.StatusForbidden, "site"}
	case errors.Is(err, errNotThisWay):
		return said{http.StatusForbidden, "proxy"}
	case errors.Is(err, errTooOften):
		return said{http.StatusTooManyRequests, "often"}
	case errors.As(err, &tooLarge):
		return said{http.StatusRequestEntityTooLarge, "large"}
	case errors.Is(err, errBadForm):
		return said{http.StatusBadRequest, "form"}
	case errors.Is(err, account.ErrBusy), practice.HasCode(err, practice.StoreAway), practice.HasCode(err, practice.StoreLocked):
		return said{http.StatusServiceUnavailable, "busy"}
	case practice.HasCode(err, practice.StoreFull), practice.HasCode(err, practice.StoreReadOnly):
		return said{http.StatusInsufficientStorage, "full"}
	}
	return said{http.StatusInternalServerError, "ours"}
}

// errorPage says what went wrong and what to do.
type errorPage struct {
	frame
	Sentence, Remedy string
	Again            string // where to sign in again; empty where that does not help
}

// fail answers with an error: the one place where that is done.
func (v *visit) fail(err error) {
	if isSignedOut(err) && !asksJSON(v.r) {
		v.see("/sign-in" + next(v.r))
		return
	}
	a := answer(err)
	v.comeBack(a.status)
	if a.status >= 500 {
		v.Log.Error("failed", "route", v.r.Pattern, "cause", err)
	}
	if asksJSON(v.r) {
		v.json(a.status, map[string]string{"error": v.say("error." + a.id), "fix": v.say("error."+a.id+".fix", "url", v.URL)})
		return
	}
	p := errorPage{frame: v.frame("error.title"), Sentence: v.say("error." + a.id), Remedy: v.say("error."+a.id+".fix", "url", v.URL)}
	if a.id == "stale" {
		p.Again = "/sign-in" + next(v.r)
	}
	if err := v.render(a.status, "error", p); err != nil {
		v.Log.Error("no error page", "cause", err)
	}
}
