package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
)

// everybody is who asks, in the order of the columns of the table below.
var everybody = []string{"nobody", "ines", "tom", "una", "asa", "mira", "otto", "maren"}

// TestWhoGetsWhat is every route by every role, own and other's: Mira is Tom's
// student, Maren answers for her, Otto is Una's. Every request that changes
// something has a hall of its own, so that none spoils the next.
func TestWhoGetsWhat(t *testing.T) {
	form := func(s string) url.Values { v, _ := url.ParseQuery(s); return v }
	const secret = "AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA"
	asked := ""
	for _, q := range screen {
		asked += "&screen_" + q.id + "=no"
	}
	table := []struct {
		pattern, path, form string
		want                string // a status for each of everybody
	}{
		//                                                                      nobody ines tom una asa mira otto maren
		{"GET /{$}", "/", "", "303 200 200 200 200 303 303 303"},
		{"GET /{$}", "/?archived=yes&find=m", "", "303 200 200 200 200 303 303 303"},
		{"GET /static/{version}/{file}", "/static/x/aplomb.css", "", "200 200 200 200 200 200 200 200"},
		{"GET /static/{version}/{file}", "/static/x/server.go", "", "404 404 404 404 404 404 404 404"},
		{"GET /healthz", "/healthz", "", "200 200 200 200 200 200 200 200"},
		{"GET /readyz", "/readyz", "", "200 200 200 200 200 200 200 200"},
		{"GET /begin/{secret}", "/begin/" + secret, "", "404 404 404 404 404 404 404 404"},
		{"POST /begin/{secret}", "/begin/" + secret, "name=A", "404 404 404 404 404 404 404 404"},
		{"GET /sign-in", "/sign-in", "", "200 200 200 200 200 200 200 200"},
		{"POST /sign-in", "/sign-in", "studio=millgate-hall&email=ines@millgate.example&password=wrong", "401 401 401 401 401 401 401 401"},
		{"POST /sign-in", "/sign-in", "studio=millgate-hall&email=ines@millgate.example&password=" + url.QueryEscape(phrase), "303 303 303 303 303 303 303 303"},
		{"GET /forgotten", "/forgotten", "", "200 200 200 200 200 200 200 200"},
		{"POST /sign-out", "/sign-out", "", "303 303 303 303 303 303 303 303"},
		{"GET /in/{studio}/{secret}", "/in/millgate-hall/" + secret, "", "404 404 404 404 404 404 404 404"},
		{"POST /in/{studio}/{secret}", "/in/millgate-hall/" + secret, "", "404 404 404 404 404 404 404 404"},
		{"GET /in/{studio}/{secret}", "LINK otto", "", "200 200 200 200 200 200 200 200"},
		{"POST /in/{studio}/{secret}", "LINK otto", "", "303 303 303 303 303 303 303 303"},
		{"POST /passkey/ask", "/passkey/ask", "", "400 400 400 400 400 400 400 400"},
		{"POST /passkey/enter", "/passkey/enter", "", "400 400 400 400 400 400 400 400"},
		{"POST /passkey/new", "/passkey/new", "", "303 200 200 200 200 403 403 403"},
		{"POST /passkey/keep", "/passkey/keep", "", "303 400 400 400 400 403 403 403"},
		{"GET /account", "/account", "", "303 200 200 200 200 403 403 403"},
		{"POST /account/name", "/account/name", "name=A&email=a@b.example", "303 303 303 303 303 403 403 403"},
		{"POST /account/password", "/account/password", "current=no&password=hands+press+the+floor", "303 422 422 422 422 403 403 403"},
		{"POST /account/passkey", "/account/passkey", "do=remove&id=another", "303 404 404 404 404 403 403 403"},
		{"POST /account/browsers", "/account/browsers", "id=another", "303 404 404 404 404 403 403 403"},
		{"GET /people", "/people", "", "303 200 403 403 403 403 403 403"},
		{"POST /people", "/people", "name=Bo&email=bo@millgate.example&role=coach", "303 200 403 403 403 403 403 403"},
		{"POST /people/{id}/link", "/people/ID tom/link", "", "303 200 403 403 403 403 403 403"},
		{"POST /people/{id}/role", "/people/ID tom/role", "role=assistant", "303 303 403 403 403 403 403 403"},
		{"POST /people/{id}/role", "/people/ID ines/role", "role=coach", "303 409 403 403 403 403 403 403"},
		{"POST /people/{id}/role", "/people/ID tom/role", "role=student", "303 400 403 403 403 403 403 403"},
		{"POST /people/{id}/end", "/people/ID tom/end", "", "303 303 403 403 403 403 403 403"},
		{"POST /people/{id}/end", "/people/nobody/end", "", "303 404 403 403 403 403 403 403"},
		{"GET /people/{id}/leave", "/people/ID tom/leave", "", "303 200 403 403 403 403 403 403"},
		{"POST /people/{id}/leave", "/people/ID tom/leave", "", "303 303 403 403 403 403 403 403"},
		{"POST /people/{id}/leave", "/people/ID ines/leave", "", "303 409 403 403 403 403 403 403"},
		{"POST /notices", "/notices", "student=mira&kind=quiet&about=x&answer=done", "303 303 303 403 403 403 403 403"},
		{"POST /notices", "/notices", "student=mira&kind=hurts&about=x&answer=muted&reason=r", "303 400 400 403 403 403 403 403"},
		{"POST /notices", "/notices", "student=mira&kind=quiet&about=x&answer=muted", "303 422 422 403 403 403 403 403"},
		{"POST /notices", "/notices", "student=mira&kind=quiet&about=x&answer=postponed&days=400", "303 400 400 400 400 403 403 403"},
		{"POST /notices/undo", "/notices/undo", "student=mira&kind=quiet", "303 404 404 403 403 403 403 403"},
		{"GET /students/{id}", "/students/mira", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}", "/students/otto", "", "303 200 403 200 403 403 403 403"},
		{"GET /students/{id}", "/students/nobody", "", "303 404 403 403 403 403 403 403"},
		{"GET /intake", "/intake", "", "303 200 200 200 403 403 403 403"},
		{"POST /intake", "/intake", "name=Odile&minutes_mon=40&kit=wall" + asked, "303 303 303 303 403 403 403 403"},
		{"POST /intake", "/intake", "name=&minutes_mon=x&born=soon", "303 422 422 422 403 403 403 403"},
		{"POST /intake", "/intake", "name=Odile&minutes_mon=900" + asked, "303 422 422 422 403 403 403 403"},
		{"GET /students/{id}/change", "/students/mira/change", "", "303 200 200 403 403 403 403 403"},
		{"POST /students/{id}/change", "/students/mira/change", "rev=1&name=Mira+Vane&born=2013-05-01&minutes_tue=30", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/change", "/students/mira/change", "rev=9&name=Mira", "303 409 409 403 403 403 403 403"},
		{"POST /students/{id}/change", "/students/mira/change", "rev=1&name=", "303 422 422 403 403 403 403 403"},
		{"GET /students/{id}/care", "/students/mira/care", "", "303 200 200 403 403 403 403 403"},
		{"POST /students/{id}/care", "/students/mira/care", "rev=1&do=stop&no=inverted&since=2026-06-01", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/care", "/students/mira/care", "rev=1&do=stop&since=soon", "303 422 422 403 403 403 403 403"},
		{"POST /students/{id}/care", "/students/mira/care", "rev=7&do=stop&no=inverted&since=2026-06-01", "303 409 409 403 403 403 403 403"},
		{"POST /students/{id}/care", "/students/mira/care", "rev=1&do=clear&at=0&on=2026-06-01&by=Dr+Lowe", "303 400 400 403 403 403 403 403"},
		{"POST /students/{id}/care", "/students/mira/care", "rev=1&do=screen" + asked, "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/care", "/students/mira/care", "rev=1&do=screen", "303 422 422 403 403 403 403 403"},
		{"GET /records", "/records?find=a", "", "303 200 200 200 403 403 403 403"},
		{"POST /records/check", "/records/check", "", "303 400 403 403 403 403 403 403"},
		{"POST /records/backups/{name}", "/records/backups/d.backup", "", "303 422 403 403 403 403 403 403"},
		{"POST /students/{id}/archive", "/students/mira/archive", "do=archive", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/archive", "/students/otto/archive", "do=back", "303 303 403 303 403 403 403 403"},
		{"GET /records/folder", "/records/folder", "", "303 200 403 403 403 403 403 403"},
		{"POST /records/folder", "/records/folder", "", "303 400 403 403 403 403 403 403"},
		{"POST /records/backups", "/records/backups", "", "303 303 403 403 403 403 403 403"},
		{"GET /records/backups/{name}", "/records/backups/a.backup", "", "303 200 403 403 403 403 403 403"},
		{"GET /records/backups/{name}", "/records/backups/b.backup", "", "303 404 403 403 403 403 403 403"},
		{"POST /records/backups/{name}", "/records/backups/a.backup", "", "303 303 403 403 403 403 403 403"},
		{"GET /trail", "/trail", "", "303 200 403 403 403 403 403 403"},
		{"GET /students/{id}/trail", "/students/mira/trail", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}/trail", "/students/otto/trail", "", "303 200 403 200 403 403 403 403"},
		{"GET /students/{id}/export", "/students/mira/export", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}/export", "/students/otto/export", "", "303 200 403 200 403 403 403 403"},
		{"GET /students/{id}/forget", "/students/mira/forget", "", "303 200 403 403 403 403 403 403"},
		{"POST /students/{id}/forget", "/students/mira/forget", "name=Mira+Vane", "303 303 403 403 403 403 403 403"},
		{"POST /students/{id}/forget", "/students/mira/forget", "name=Otto+Lind", "303 422 403 403 403 403 403 403"},
		{"GET /covers", "/covers", "", "303 200 200 200 403 403 403 403"},
		{"POST /covers", "/covers", "for=ID tom&by=ID una&from=2026-06-01&to=2026-06-07", "303 303 303 403 403 403 403 403"},
		{"POST /covers", "/covers", "for=ID tom&by=ID tom&from=2026-06-08&to=2026-06-07", "303 422 422 403 403 403 403 403"},
		{"POST /covers", "/covers", "for=ID tom&by=ID una&from=soon&to=2026-06-07", "303 422 422 422 403 403 403 403"},
		{"POST /covers/end", "/covers/end", "id=nothing", "303 403 403 403 403 403 403 403"},
		{"GET /drills", "/drills", "", "303 200 200 200 200 403 403 403"},
		{"GET /drills/{id}", "/drills/open-try", "", "303 200 200 200 200 403 403 403"},
		{"GET /drills/{id}", "/drills/nothing", "", "303 404 404 404 404 403 403 403"},
		{"GET /drills/{id}/figure", "/drills/open-try/figure", "", "303 200 200 200 200 403 403 403"},
		{"GET /groups", "/groups", "", "303 200 200 200 200 403 403 403"},
		{"GET /groups/{group}", "/groups/nobodies", "", "303 404 404 404 404 403 403 403"},
		{"POST /groups/{group}", "/groups/nobodies", "rev=0&do=drop&drill=open-try", "303 404 404 404 404 403 403 403"},
		{"GET /drills/new", "/drills/new?from=toe-float", "", "303 200 403 403 403 403 403 403"},
		{"GET /drills/new", "/drills/new?from=nothing", "", "303 404 403 403 403 403 403 403"},
		{"POST /drills/new", "/drills/new", "start=toe-float&name=", "303 422 403 403 403 403 403 403"},
		{"GET /drills/{id}/change", "/drills/toe-float/change", "", "303 404 403 403 403 403 403 403"},
		{"POST /drills/{id}/change", "/drills/toe-float/change", "name=x", "303 404 403 403 403 403 403 403"},
		{"GET /lookfor", "/lookfor?find=line", "", "303 200 200 200 200 403 403 403"},
		{"GET /review", "/review", "", "303 303 303 303 303 403 403 403"},
		{"GET /students/{id}/week/{week}", "/students/mira/week/2026-W24", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}/week/{week}", "/students/mira/week/2026-99", "", "303 404 404 404 404 403 403 403"},
		{"POST /students/{id}/week/{week}", "/students/mira/week/2026-W24", "rev=0&do=minutes&share=80", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/week/{week}", "/students/mira/week/2026-W24", "rev=0&do=minutes&share=900", "303 422 422 403 403 403 403 403"},
		{"POST /students/{id}/week/{week}", "/students/mira/week/2026-W24", "rev=5&do=drop&drill=open-try", "303 409 409 403 403 403 403 403"},
		{"POST /students/{id}/week/{week}", "/students/mira/week/2026-W24", "rev=0&do=hand", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/week/{week}", "/students/mira/week/2026-W24", "rev=0&do=nonsense", "303 400 400 400 400 403 403 403"},
		{"GET /students/{id}/weeks", "/students/mira/weeks", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}/weeks/{week}", "/students/mira/weeks/2026-W24", "", "303 404 404 403 403 403 403 403"},
		{"GET /students/{id}/weeks/{week}/sheet", "/students/mira/weeks/2026-W24/sheet", "", "303 404 404 403 403 403 403 403"},
		{"GET /students/{id}/milestone", "/students/mira/milestone", "", "303 200 200 403 403 403 403 403"},
		{"POST /students/{id}/milestone", "/students/mira/milestone", "day=2026-06-01&seconds=5&end=lowered&witness=watched", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/milestone", "/students/mira/milestone", "day=2026-06-01&seconds=many&end=lowered&witness=watched", "303 422 422 403 403 403 403 403"},
		{"POST /students/{id}/milestone", "/students/mira/milestone", "attempt=nothing&as=filmed", "303 404 404 403 403 403 403 403"},
		{"GET /students/{id}/tests", "/students/mira/tests", "", "303 200 200 403 403 403 403 403"},
		{"POST /students/{id}/tests", "/students/mira/tests", "day=2026-06-01&confidence-fear=4", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/tests", "/students/mira/tests", "day=2026-06-01&confidence-fear=40", "303 422 422 403 403 403 403 403"},
		{"POST /students/{id}/tests", "/students/mira/tests", "day=2026-06-01&confidence-fear=some", "303 422 422 403 403 403 403 403"},
		{"GET /students/{id}/lessons", "/students/mira/lessons", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}/lessons", "/students/otto/lessons", "", "303 200 403 200 403 403 403 403"},
		{"GET /students/{id}/lessons", "/students/mira/lessons?change=nothing", "", "303 404 404 403 403 403 403 403"},
		{"POST /students/{id}/lessons", "/students/mira/lessons", "day=2026-06-01&minutes=50&text=line&next=floats", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/lessons", "/students/mira/lessons", "day=2036-06-01&minutes=50", "303 422 422 403 403 403 403 403"},
		{"POST /students/{id}/lessons", "/students/mira/lessons", "do=strike&lesson=nothing", "303 404 404 403 403 403 403 403"},
		{"POST /students/{id}/notes", "/students/mira/notes", "text=tall", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/notes", "/students/mira/notes", "text=", "303 422 422 403 403 403 403 403"},
		{"POST /students/{id}/notes", "/students/mira/notes", "health=yes&text=wrist", "303 422 422 403 403 403 403 403"},
		{"GET /students/{id}/links", "/students/mira/links", "", "303 200 200 403 403 403 403 403"},
		{"GET /students/{id}/links", "/students/otto/links", "", "303 200 403 200 403 403 403 403"},
		{"GET /students/{id}/links", "/students/nobody/links", "", "303 404 403 403 403 403 403 403"},
		{"POST /students/{id}/links", "/students/mira/links", "for=student&of=mira&do=make", "303 200 200 403 403 403 403 403"},
		{"POST /students/{id}/links", "/students/mira/links", "for=guardian&of=maren&do=revoke", "303 303 303 403 403 403 403 403"},
		{"POST /students/{id}/links", "/students/mira/links", "for=student&of=otto&do=make", "303 404 404 403 403 403 403 403"},
		{"GET /me", "/me", "", "303 403 403 403 403 200 200 200"},
		{"GET /me/day/{date}", "/me/day/2026-06-01", "", "303 403 403 403 403 200 200 403"},
		{"GET /me/day/{date}", "/me/day/2026-07-01", "", "303 403 403 403 403 404 404 403"},
		{"GET /me/day/{date}", "/me/day/soon", "", "303 403 403 403 403 404 404 403"},
		{"GET /me/progress", "/me/progress", "", "303 403 403 403 403 200 200 403"},
		{"GET /me/notes", "/me/notes", "", "303 403 403 403 403 200 200 403"},
		{"GET /me/agreed", "/me/agreed", "", "303 403 403 403 403 200 200 200"},
		{"GET /me/session", "/me/session", "", "303 403 403 403 403 200 200 403"},
		{"GET /me/plan", "/me/plan", "", "303 403 403 403 403 200 200 403"},
		{"GET /me/figures/{id}", "/me/figures/toe-float", "", "303 403 403 403 403 200 200 200"},
		{"GET /me/figures/{id}", "/me/figures/nothing", "", "303 403 403 403 403 404 404 404"},
		{"GET /static/{version}/phone/{file}", "/static/x/phone/outbox.js", "", "200 200 200 200 200 200 200 200"},
		{"GET /static/{version}/phone/{file}", "/static/x/phone/server.go", "", "404 404 404 404 404 404 404 404"},
		{"GET /manifest.webmanifest", "/manifest.webmanifest", "", "200 200 200 200 200 200 200 200"},
		{"GET /sw.js", "/sw.js", "", "200 200 200 200 200 200 200 200"},
		{"POST /me/consent", "/me/consent", "student=mira&for=clips&do=give", "303 403 403 403 403 403 403 303"},
		{"POST /me/consent", "/me/consent", "student=otto&for=clips&do=give", "303 403 403 403 403 403 303 403"},
		{"POST /me/consent", "/me/consent", "student=mira&for=clips&do=withdraw", "303 403 403 403 403 303 403 303"},
		{"POST /me/sync", "/me/sync", "", "401 403 403 403 403 400 400 403"},
		{"GET /nothing", "/nothing", "", "404 404 404 404 404 404 404 404"},
	}
	tried := map[string]bool{}
	looked := peopled(t)
	for _, row := range table {
		tried[row.pattern] = true
		method, _, _ := strings.Cut(row.pattern, " ")
		for i, want := range strings.Fields(row.want) {
			h := looked
			if method != http.MethodGet {
				h = peopled(t)
			}
			path, sent := row.path, row.form
			if of, ok := strings.CutPrefix(path, "LINK "); ok {
				path = h.links[of]
			}
			for name, id := range h.ids {
				path, sent = strings.ReplaceAll(path, "ID "+name, id), strings.ReplaceAll(sent, "ID "+name, id)
			}
			w := h.ask(everybody[i], method, path, form(sent))
			if got := w.Result().Status[:3]; got != want {
				t.Errorf("%s %s as %s: %s, want %s", method, row.path, everybody[i], got, want)
			}
			if to := w.Header().Get("Location"); w.Code == http.StatusSeeOther && everybody[i] == "nobody" && !strings.HasPrefix(to, "/sign-in") && !strings.Contains(path, "/in/") && path != "/sign-in" {
				t.Errorf("%s as nobody leads to %s", path, to)
			}
		}
	}
	for _, r := range new(Server).routes() {
		if !tried[r.pattern] {
			t.Errorf("%s is in no row of the table", r.pattern)
		}
	}
}
