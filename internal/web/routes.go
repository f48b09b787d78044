package web

// routes is every address there is, and who gets past its door.
func (s *Server) routes() []route {
	return []route{
		{"GET /{$}", somebody, home},
		{"GET /static/{version}/{file}", anybody, static},
		{"GET /healthz", anybody, health},
		{"GET /readyz", anybody, ready},

		{"GET /begin/{secret}", anybody, beginForm},
		{"POST /begin/{secret}", anybody, begin},
		{"GET /sign-in", anybody, signInForm},
		{"POST /sign-in", anybody, signIn},
		{"GET /forgotten", anybody, forgotten},
		{"POST /sign-out", somebody, signOut},
		{"GET /in/{studio}/{secret}", anybody, openForm},
		{"POST /in/{studio}/{secret}", anybody, open},

		{"POST /passkey/ask", anybody, askPasskey},
		{"POST /passkey/enter", anybody, enterByPasskey},
		{"POST /passkey/new", staff, askNewPasskey},
		{"POST /passkey/keep", staff, keepPasskey},

		{"GET /account", staff, accountPage},
		{"POST /account/name", staff, changeName},
		{"POST /account/password", staff, changePassword},
		{"POST /account/passkey", staff, changePasskey},
		{"POST /account/browsers", staff, endBrowsers},

		{"GET /people", staff, peoplePage},
		{"POST /people", staff, invite},
		{"POST /people/{id}/link", staff, inviteAgain},
		{"GET /people/{id}/leave", staff, leaveForm},
		{"POST /people/{id}/leave", staff, leave},

		{"POST /notices", staff, decide},
		{"POST /notices/undo", staff, undecide},
		{"GET /intake", staff, intakeForm},
		{"POST /intake", staff, takeIn},
		{"GET /students/{id}", staff, student},
		{"GET /students/{id}/change", staff, changeForm},
		{"POST /students/{id}/change", staff, changeStudent},
		{"GET /students/{id}/care", staff, care},
		{"POST /students/{id}/care", staff, changeCare},
		{"GET /drills", staff, drills},
		{"GET /drills/new", staff, ownDrillForm},
		{"POST /drills/new", staff, writeOwnDrill},
		{"GET /drills/{id}", staff, drill},
		{"GET /drills/{id}/change", staff, ownDrillForm},
		{"POST /drills/{id}/change", staff, writeOwnDrill},
		{"GET /lookfor", staff, lookFor},
		{"GET /drills/{id}/figure", staff, figure},
		{"GET /groups", staff, groups},
		{"GET /groups/{group}", staff, group},
		{"POST /groups/{group}", staff, changeGroup},
		{"GET /review", staff, firstReview},
		{"GET /students/{id}/week/{week}", staff, review},
		{"POST /students/{id}/week/{week}", staff, changeWeek},
		{"GET /students/{id}/weeks", staff, weeks},
		{"GET /students/{id}/weeks/{week}", staff, handedOver},
		{"GET /students/{id}/weeks/{week}/sheet", staff, sheet},
		{"GET /students/{id}/tests", staff, tests},
		{"POST /students/{id}/tests", staff, keepTests},
		{"POST /students/{id}/notes", staff, writeNote},

		{"GET /students/{id}/links", staff, linksPage},
		{"POST /students/{id}/links", staff, changeLink},

		{"GET /me", linked, ownPage},
		{"POST /me/consent", linked, consent},
	}
}
