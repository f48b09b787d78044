package storetest

import (
	"testing"

	"aplomb/internal/practice"
)

func proofs(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	must(t)(s.PutPerson(ctx, millgate, practice.Person{ID: "ines", Name: "Ines Marlow"}, 0))
	must(t)(s.PutPerson(ctx, millgate, practice.Person{ID: "tom", Name: "Tom"}, 0))
	_, err := s.Password(ctx, millgate, "ines")
	refused(t, err, practice.NotFound)
	for _, hash := range []string{"first", "second"} {
		p := practice.Password{Person: "ines", Hash: hash, Since: at(3)}
		ok(t, s.PutPassword(ctx, millgate, p))
		same(t, "password", got[practice.Password](t)(s.Password(ctx, millgate, "ines")), p)
	}
	ok(t, s.RemovePassword(ctx, millgate, "ines"))
	_, err = s.Password(ctx, millgate, "ines")
	refused(t, err, practice.NotFound)
	refused(t, s.PutPassword(ctx, millgate, practice.Password{Person: "nobody"}), practice.UnknownID)

	key := practice.Passkey{ID: "k", Person: "ines", Name: "phone", Record: []byte(`{"a":1}`), Since: at(1)}
	ok(t, s.PutPasskey(ctx, millgate, key))
	used := at(2)
	key.Name, key.Used, key.Record = "old phone", &used, []byte(`{"a":2}`)
	ok(t, s.PutPasskey(ctx, millgate, key))
	same(t, "passkey", got[practice.Passkey](t)(s.Passkey(ctx, millgate, "k")), key)
	same(t, "passkeys", got[[]practice.Passkey](t)(s.Passkeys(ctx, millgate, "ines")), []practice.Passkey{key})
	stolen := key
	stolen.Person = "tom"
	refused(t, s.PutPasskey(ctx, millgate, stolen), practice.ExistsAlready)
	same(t, "passkeys of another", got[[]practice.Passkey](t)(s.Passkeys(ctx, millgate, "tom")), []practice.Passkey{})
	ok(t, s.RemovePasskey(ctx, millgate, "k"))
	ok(t, s.RemovePasskey(ctx, millgate, "k"))
	_, err = s.Passkey(ctx, millgate, "k")
	refused(t, err, practice.NotFound)
}

// begin keeps a studio with its owner and password, or nothing of the three.
func begin(t *testing.T, fresh Fresh) {
	s := fresh(t)(TheKey)
	zone, err := practice.ParseZone("Europe/London")
	ok(t, err)
	studio := practice.Studio{Format: 2, ID: "millgate", Name: "Millgate Hall", Zone: zone}
	owner := practice.Person{ID: "ines", Name: "Ines Marlow", Role: practice.Owner}
	refused(t, s.Begin(ctx, millgate, studio, owner, practice.Password{Person: "nobody"}), practice.UnknownID)
	same(t, "studios after a failure", len(got[[]practice.Studio](t)(s.Studios(ctx))), 0)
	same(t, "people after a failure", len(got[[]practice.Kept[practice.Person]](t)(s.People(ctx, millgate))), 0)
	same(t, "lines after a failure", len(got[[]practice.Change](t)(s.Latest(ctx, millgate, "", "", 10, true))), 0)

	pw := practice.Password{Person: "ines", Hash: "hash", Since: at(3)}
	ok(t, s.Begin(ctx, millgate, studio, owner, pw))
	same(t, "the studio", got[practice.Kept[practice.Studio]](t)(s.Studio(ctx, millgate)).Value, studio)
	same(t, "the owner", got[practice.Kept[practice.Person]](t)(s.Person(ctx, millgate, "ines")).Value, owner)
	same(t, "the password", got[practice.Password](t)(s.Password(ctx, millgate, "ines")), pw)
	refused(t, s.Begin(ctx, millgate, studio, owner, pw), practice.ExistsAlready)
}

func doors(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	expires := at(100)
	invitation := practice.Door{Hash: "aa", For: practice.InviteDoor, Of: "tom", Made: at(0), MadeBy: "ines", Expires: &expires}
	link := practice.Door{Hash: "bb", For: practice.StudentDoor, Of: "mira", Made: at(1), MadeBy: "ines"}
	ok(t, s.PutDoor(ctx, millgate, invitation))
	ok(t, s.PutDoor(ctx, millgate, link))
	refused(t, s.PutDoor(ctx, millgate, link), practice.ExistsAlready)
	same(t, "doors", got[[]practice.Door](t)(s.Doors(ctx, millgate)), []practice.Door{invitation, link})

	ok(t, s.TakeDoor(ctx, millgate, "aa", at(5), true))
	refused(t, s.TakeDoor(ctx, millgate, "aa", at(6), true), practice.NotFound)
	refused(t, s.TakeDoor(ctx, millgate, "zz", at(6), false), practice.NotFound)
	used := at(5)
	invitation.Used = &used
	same(t, "taken once", got[practice.Door](t)(s.DoorByHash(ctx, millgate, "aa")), invitation)
	ok(t, s.TakeDoor(ctx, millgate, "bb", at(5), false))
	ok(t, s.TakeDoor(ctx, millgate, "bb", at(9), false))
	same(t, "first taken", got[practice.Door](t)(s.DoorByHash(ctx, millgate, "bb")).Used.UnixNano, at(5).UnixNano)

	ok(t, s.CloseDoors(ctx, millgate, practice.GuardianDoor, "mira"))
	ok(t, s.CloseDoors(ctx, millgate, practice.StudentDoor, "mira"))
	_, err := s.DoorByHash(ctx, millgate, "bb")
	refused(t, err, practice.NotFound)
	_, err = s.DoorByHash(ctx, practice.Who{Studio: "another"}, "aa")
	refused(t, err, practice.NotFound)

	ok(t, s.PutDoor(ctx, millgate, link))
	ok(t, s.RemoveExpired(ctx, millgate, at(99)))
	same(t, "before it expires", got[[]practice.Door](t)(s.Doors(ctx, millgate)), []practice.Door{invitation, link})
	ok(t, s.RemoveExpired(ctx, millgate, at(100)))
	same(t, "after", got[[]practice.Door](t)(s.Doors(ctx, millgate)), []practice.Door{link})
}

func signIns(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	signIn := func(id, who string, role practice.Role, seen, expires int64) practice.SignIn {
		return practice.SignIn{ID: id, Who: practice.Who{Studio: "millgate", ID: who, Role: role}, Started: at(0), Renewed: at(1), Seen: at(seen),
			Expires: at(expires), Agent: "a browser", Token: "token " + id}
	}
	desk, phone := signIn("desk", "ines", practice.Coach, 5, 10), signIn("phone", "ines", practice.Owner, 6, 20)
	student := signIn("hers", "ines", practice.AsStudent, 7, 30) // a student of the same id
	for _, v := range []practice.SignIn{desk, phone, student} {
		ok(t, s.PutSignIn(ctx, millgate, v))
	}
	same(t, "of a person, in every role", got[[]practice.SignIn](t)(s.SignIns(ctx, millgate)), []practice.SignIn{phone, desk})
	same(t, "of a student", got[[]practice.SignIn](t)(s.SignIns(ctx, student.Who)), []practice.SignIn{student})
	desk.Seen = at(8)
	ok(t, s.SeeSignIn(ctx, millgate, desk))
	same(t, "by token", got[practice.SignIn](t)(s.SignInByToken(ctx, millgate, "token desk")), desk)
	refused(t, s.PutSignIn(ctx, millgate, desk), practice.ExistsAlready)
	_, err := s.SignInByToken(ctx, millgate, "token nobody")
	refused(t, err, practice.NotFound)

	// What was ended while a request was under way stays ended.
	ended := signIn("ended", "ines", practice.Coach, 5, 10)
	ok(t, s.PutSignIn(ctx, millgate, ended))
	ok(t, s.RemoveSignIn(ctx, millgate, "ended"))
	refused(t, s.SeeSignIn(ctx, millgate, ended), practice.NotFound)
	refused(t, s.RenewSignIn(ctx, millgate, ended, signIn("heir", "ines", practice.Coach, 5, 10)), practice.NotFound)
	same(t, "after one was ended", got[[]practice.SignIn](t)(s.SignIns(ctx, millgate)), []practice.SignIn{desk, phone})
	heir := signIn("heir", "ines", practice.Coach, 9, 20)
	ok(t, s.RenewSignIn(ctx, millgate, phone, heir))
	same(t, "with its heir", got[[]practice.SignIn](t)(s.SignIns(ctx, millgate)), []practice.SignIn{heir, desk, phone})

	ok(t, s.RemoveSignIn(ctx, student.Who, "desk")) // not hers
	ok(t, s.RemoveSignIns(ctx, millgate, "desk"))
	same(t, "all but one", got[[]practice.SignIn](t)(s.SignIns(ctx, millgate)), []practice.SignIn{desk})
	ok(t, s.RemoveExpired(ctx, millgate, at(10)))
	same(t, "after it expired", got[[]practice.SignIn](t)(s.SignIns(ctx, millgate)), []practice.SignIn{})
	ok(t, s.RemoveSignIn(ctx, student.Who, "hers"))
	same(t, "after the last", got[[]practice.SignIn](t)(s.SignIns(ctx, student.Who)), []practice.SignIn{})
}
