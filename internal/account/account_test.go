package account

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"aplomb/internal/practice"
)

const phrase = "lean a little further"

// house is Millgate Hall with Ines, its owner, who has just set it up.
type house struct {
	*Account
	store *memory
	clock time.Time
	ids   atomic.Int64
	ines  Ticket
}

// ownTies lets a coach coach the students who name them, and an owner all.
type ownTies struct{ *memory }

func (o ownTies) May(ctx context.Context, who practice.Who, do practice.Right, student string) error {
	kept, err := o.Student(ctx, who, student)
	if err != nil {
		return err
	}
	if !who.Role.May(do, who.TieTo(kept.Value, 0, false, nil, nil)) {
		return practice.Refused(do)
	}
	return nil
}

func empty(t *testing.T) *house {
	t.Helper()
	h := &house{store: newMemory(), clock: time.Date(2026, 6, 1, 9, 0, 0, 0, time.UTC)}
	var err error
	h.Account, err = New(Parts{Store: h.store, Ties: ownTies{h.store}, Now: func() time.Time { return h.clock },
		NewID: func() string { return fmt.Sprintf("id%d", h.ids.Add(1)) }, Random: rand.Reader,
		Cost: Cost{MemoryKiB: 64, Passes: 1, Lanes: 1}, Hashes: 2, URL: "http://localhost:8080"})
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func millgate(t *testing.T) *house {
	t.Helper()
	h := empty(t)
	link, ok, err := h.FirstLink(t.Context())
	if err != nil || !ok {
		t.Fatal(ok, err)
	}
	h.ines, err = h.SetUp(t.Context(), strings.TrimPrefix(link.Path, "/begin/"), setup(), "a browser")
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func setup() Setup {
	return Setup{Entry: Entry{Name: "Ines Marlow", Email: "ines@millgate.example", Password: phrase}, Studio: "Millgate Hall", Zone: "Europe/London"}
}

func (h *house) who(t *testing.T, ticket Ticket) Signed {
	t.Helper()
	in, err := h.Who(t.Context(), ticket.Cookie)
	if err != nil {
		t.Fatal(err)
	}
	return in
}

// invited is a colleague who has come in.
func (h *house) invited(t *testing.T, name, email string, role practice.Role) Ticket {
	t.Helper()
	link, _, err := h.Invite(t.Context(), h.ines.Who, name, email, role)
	if err != nil {
		t.Fatal(err)
	}
	ticket, err := h.Accept(t.Context(), "millgate-hall", secretOf(link), Entry{Name: name, Email: email, Password: phrase}, "")
	if err != nil {
		t.Fatal(err)
	}
	return ticket
}

func secretOf(l Link) string { return l.Path[strings.LastIndex(l.Path, "/")+1:] }

func wants(t *testing.T, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("got %v, want %v", err, want)
	}
}

func refused(t *testing.T, err error, code practice.Code) {
	t.Helper()
	var fs practice.Faults
	if errors.As(err, &fs) && slices.ContainsFunc(fs, func(f practice.Fault) bool { return f.Code == code }) {
		return
	}
	if !practice.HasCode(err, code) {
		t.Errorf("got %v, want %s", err, code)
	}
}

func TestFirstOwner(t *testing.T) {
	h := empty(t)
	link, _, err := h.FirstLink(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	secret := strings.TrimPrefix(link.Path, "/begin/")
	_, err = h.SetUp(t.Context(), secret+"x", setup(), "")
	wants(t, err, ErrLink)
	bad := setup()
	bad.Studio, bad.Zone, bad.Password = "", "Ellery", "short"
	_, err = h.SetUp(t.Context(), secret, bad, "")
	var fs practice.Faults
	if !errors.As(err, &fs) || len(fs) != 3 {
		t.Errorf("faults %v", err)
	}
	if len(h.store.studios) != 0 {
		t.Error("something was kept of a set-up that failed")
	}
	h.store.fail = errors.New("the disk is full")
	if _, err = h.SetUp(t.Context(), secret, setup(), ""); !errors.Is(err, h.store.fail) || len(h.store.studios) != 0 {
		t.Errorf("a set-up the store refused: %v", err)
	}
	h.store.fail = nil // and the link still opens
	ticket, err := h.SetUp(t.Context(), secret, setup(), "")
	if err != nil {
		t.Fatal(err)
	}
	if in := h.who(t, ticket); in.Name != "Ines Marlow" || in.Who.Role != practice.Owner || in.Studio.Name != "Millgate Hall" {
		t.Errorf("in as %+v", in)
	}
	_, err = h.SetUp(t.Context(), secret, setup(), "")
	wants(t, err, ErrLink)
	if _, ok, _ := h.FirstLink(t.Context()); ok {
		t.Error("a second first link")
	}
}

func TestFirstLinkExpires(t *testing.T) {
	h := empty(t)
	link, _, _ := h.FirstLink(t.Context())
	h.clock = h.clock.Add(OwnerFor)
	wants(t, h.LookFirst(strings.TrimPrefix(link.Path, "/begin/")), ErrLink)
}

func TestSignIn(t *testing.T) {
	h := millgate(t)
	for _, c := range []struct{ studio, email, password string }{
		{"millgate-hall", "ines@millgate.example", phrase + "."},
		{"millgate-hall", "nobody@millgate.example", phrase},
		{"millgate-hall", "", ""},
		{"elsewhere", "ines@millgate.example", phrase},
		{"../etc", "ines@millgate.example", phrase},
	} {
		if _, err := h.SignIn(t.Context(), c.studio, c.email, c.password, ""); !errors.Is(err, ErrNotMatched) {
			t.Errorf("%+v: %v", c, err)
		}
	}
	ticket, err := h.SignIn(t.Context(), "millgate-hall", " INES@millgate.example", phrase, "")
	if err != nil {
		t.Fatal(err)
	}
	if ticket.Cookie == h.ines.Cookie {
		t.Error("the same token twice")
	}
	in := h.who(t, ticket)
	if err := h.SignOut(t.Context(), in); err != nil {
		t.Fatal(err)
	}
	_, err = h.Who(t.Context(), ticket.Cookie)
	wants(t, err, ErrSignedOut)
	h.who(t, h.ines) // the other browser stays
}

// An error of the store is no wrong password.
func TestStoreAway(t *testing.T) {
	h := millgate(t)
	h.store.fail = practice.Fault{Code: practice.StoreAway}
	_, err := h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, "")
	refused(t, err, practice.StoreAway)
	_, err = h.Who(t.Context(), h.ines.Cookie)
	refused(t, err, practice.StoreAway)
}

func TestNothingSecretIsKept(t *testing.T) {
	h := millgate(t)
	link, _, err := h.Invite(t.Context(), h.ines.Who, "Tom Ash", "tom@millgate.example", practice.Coach)
	if err != nil {
		t.Fatal(err)
	}
	kept := fmt.Sprintf("%+v", h.store)
	_, token, _ := opened(h.ines.Cookie)
	for name, secret := range map[string]string{"password": phrase, "token": token, "link": secretOf(link)} {
		if strings.Contains(kept, secret) {
			t.Errorf("the %s is kept as it is", name)
		}
	}
}

func TestTimeouts(t *testing.T) {
	for _, c := range []struct {
		name  string
		after []time.Duration
		in    bool
	}{
		{"seen within three days", []time.Duration{71 * time.Hour, 71 * time.Hour}, true},
		{"not seen for three days", []time.Duration{73 * time.Hour}, false},
		{"thirty days", slices.Repeat([]time.Duration{72 * time.Hour}, 10), false},
	} {
		h := millgate(t)
		ticket, err := h.ines, error(nil)
		for _, d := range c.after {
			h.clock = h.clock.Add(d)
			var in Signed
			if in, err = h.Who(t.Context(), ticket.Cookie); in.Renew != nil {
				ticket = *in.Renew
			}
		}
		if (err == nil) != c.in {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// A clock set back brings nothing back that expired: neither where the sweep
// ended it, nor where the sign-in was seen later than the clock now says.
func TestClockSetBack(t *testing.T) {
	h := millgate(t)
	link, _, err := h.Invite(t.Context(), h.ines.Who, "Tom Ash", "tom@millgate.example", practice.Coach)
	if err != nil {
		t.Fatal(err)
	}
	start := h.clock
	in := func() bool { _, err := h.Who(t.Context(), h.ines.Cookie); return err == nil }
	opens := func() bool {
		_, err := h.Look(t.Context(), "millgate-hall", secretOf(link))
		return err == nil
	}
	for _, c := range []struct {
		name string
		set  time.Duration // the clock, from the start
		good bool
	}{
		{"as it was", 0, true},
		{"corrected by a little", -skew, true},
		{"set back further", -skew - time.Minute, false},
		{"set back a year", -365 * 24 * time.Hour, false},
		{"right again", time.Minute, true},
	} {
		h.clock = start.Add(c.set)
		if in() != c.good || opens() != c.good {
			t.Errorf("%s: signed in %v, the link opens %v, want %v", c.name, in(), opens(), c.good)
		}
	}
	h.clock = start.Add(InviteFor)
	if in() || opens() {
		t.Fatal("neither expired")
	}
	h.clock = start.Add(2 * time.Hour)
	if !in() || !opens() {
		t.Fatal("without a sweep nothing shows that time has passed: this test would prove nothing")
	}
	h.clock = start.Add(InviteFor)
	if err := h.RemoveExpired(t.Context()); err != nil {
		t.Fatal(err)
	}
	h.clock = start.Add(2 * time.Hour)
	if in() || opens() {
		t.Error("the clock brought back what was swept")
	}
}

func TestTokenIsChangedDaily(t *testing.T) {
	h := millgate(t)
	h.clock = h.clock.Add(renewAfter)
	first := h.who(t, h.ines)
	if first.Renew == nil || first.Renew.Cookie == h.ines.Cookie {
		t.Fatal("the token was not changed")
	}
	h.clock = h.clock.Add(grace / 2)
	if again := h.who(t, h.ines); again.Renew != nil { // a page asked for at the same time
		t.Error("the old token was changed twice")
	}
	if all, _ := h.SignIns(t.Context(), first); len(all) != 1 {
		t.Errorf("%d browsers, want 1", len(all))
	}
	h.clock = h.clock.Add(grace)
	_, err := h.Who(t.Context(), h.ines.Cookie)
	wants(t, err, ErrSignedOut)
	if in := h.who(t, *first.Renew); in.SignIn.Started != first.SignIn.Started || in.Renew != nil {
		t.Error("the new token is another sign-in")
	}
}

func TestPasswordChange(t *testing.T) {
	h := millgate(t)
	other, err := h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, "")
	if err != nil {
		t.Fatal(err)
	}
	in := h.who(t, h.ines)
	wants(t, h.ChangePassword(t.Context(), in, "not it at all", "hands press the floor"), ErrNotMatched)
	refused(t, h.ChangePassword(t.Context(), in, phrase, "short"), practice.OutOfRange)
	h.who(t, other)
	if err := h.ChangePassword(t.Context(), in, phrase, "hands press the floor"); err != nil {
		t.Fatal(err)
	}
	_, err = h.Who(t.Context(), other.Cookie)
	wants(t, err, ErrSignedOut)
	h.who(t, h.ines)
	_, err = h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, "")
	wants(t, err, ErrNotMatched)
}

func TestDearerHashesAreMadeAtSignIn(t *testing.T) {
	h := millgate(t)
	before := h.store.passwords[practice.Who{Studio: "millgate-hall", ID: h.ines.Who.ID}].Hash
	h.Cost.Passes = 2
	if _, err := h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, ""); err != nil {
		t.Fatal(err)
	}
	after := h.store.passwords[practice.Who{Studio: "millgate-hall", ID: h.ines.Who.ID}].Hash
	if before == after || !strings.Contains(after, "t=2") {
		t.Errorf("%s, then %s", before, after)
	}
	h.who(t, h.ines)
}

func TestInvitations(t *testing.T) {
	h := millgate(t)
	ctx := t.Context()
	link, tom, err := h.Invite(ctx, h.ines.Who, "Tom Ash", "tom@millgate.example", practice.Coach)
	if err != nil {
		t.Fatal(err)
	}
	entry := Entry{Name: "Tom Ash", Email: "tom@millgate.example", Password: phrase}
	_, err = h.Accept(ctx, "millgate-hall", secretOf(link), Entry{Name: "Tom Ash", Email: "ines@millgate.example", Password: phrase}, "")
	refused(t, err, practice.ExistsAlready)
	var wg sync.WaitGroup
	var mu sync.Mutex
	ins := 0
	for range 8 { // eight at once: one comes in
		wg.Go(func() {
			if _, err := h.Accept(ctx, "millgate-hall", secretOf(link), entry, ""); err == nil {
				mu.Lock()
				ins++
				mu.Unlock()
			}
		})
	}
	wg.Wait()
	if ins != 1 {
		t.Errorf("%d came in by one invitation", ins)
	}
	link, _, err = h.InviteAgain(ctx, h.ines.Who, tom.ID)
	if err != nil {
		t.Fatal(err)
	}
	h.clock = h.clock.Add(InviteFor)
	_, err = h.Look(ctx, "millgate-hall", secretOf(link))
	wants(t, err, ErrLink)
	_, _, err = h.Invite(ctx, practice.Who{Studio: "millgate-hall", ID: tom.ID, Role: practice.Coach}, "A", "a@b.example", practice.Owner)
	refused(t, err, practice.NotAllowed)
	_, _, err = h.Invite(ctx, h.ines.Who, "A", "", practice.Coach)
	refused(t, err, practice.MissingField)
	_, _, err = h.Invite(ctx, h.ines.Who, "A", "a@b.example", practice.AsStudent)
	refused(t, err, practice.UnknownWord)
}

func TestOwnerLink(t *testing.T) {
	h := millgate(t)
	link, p, err := h.OwnerLink(t.Context(), "millgate-hall", "")
	if err != nil || p.Name != "Ines Marlow" {
		t.Fatal(p, err)
	}
	if _, err := h.Accept(t.Context(), "millgate-hall", secretOf(link), Entry{Name: "Ines Marlow", Email: "ines@new.example", Password: "hands press the floor"}, ""); err != nil {
		t.Fatal(err)
	}
	_, err = h.Who(t.Context(), h.ines.Cookie)
	wants(t, err, ErrSignedOut)
	if _, err := h.SignIn(t.Context(), "millgate-hall", "ines@new.example", "hands press the floor", ""); err != nil {
		t.Error(err)
	}
	_, _, err = h.OwnerLink(t.Context(), "millgate-hall", "nobody")
	refused(t, err, practice.NotFound)
}

// A studio that was imported without people gets its owner by the same link.
func TestOwnerOfAnImportedStudio(t *testing.T) {
	h := empty(t)
	h.store.studios["ellery"] = practice.Kept[practice.Studio]{Value: practice.Studio{ID: "ellery", Name: "Ellery"}, Rev: 1}
	if in, err := h.OwnerIn(t.Context(), "ellery"); in || err != nil {
		t.Error(in, err)
	}
	link, _, err := h.OwnerLink(t.Context(), "ellery", "")
	if err != nil {
		t.Fatal(err)
	}
	ticket, err := h.Accept(t.Context(), "ellery", secretOf(link), Entry{Name: "Ines Marlow", Email: "ines@millgate.example", Password: phrase}, "")
	if err != nil {
		t.Fatal(err)
	}
	if in := h.who(t, ticket); in.Who.Role != practice.Owner {
		t.Errorf("in as %+v", in.Who)
	}
	if in, err := h.OwnerIn(t.Context(), "ellery"); !in || err != nil {
		t.Error(in, err)
	}
}

func TestLeaving(t *testing.T) {
	h := millgate(t)
	ctx := t.Context()
	tom := h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach)
	link, _, err := h.InviteAgain(ctx, h.ines.Who, tom.Who.ID)
	if err != nil {
		t.Fatal(err)
	}
	refused(t, h.Leave(ctx, tom.Who, h.ines.Who.ID), practice.NotAllowed)
	wants(t, h.Leave(ctx, h.ines.Who, h.ines.Who.ID), ErrLastOwner)
	if err := h.Leave(ctx, h.ines.Who, tom.Who.ID); err != nil {
		t.Fatal(err)
	}
	_, err = h.Who(ctx, tom.Cookie)
	wants(t, err, ErrSignedOut)
	_, err = h.SignIn(ctx, "millgate-hall", "tom@millgate.example", phrase, "")
	wants(t, err, ErrNotMatched)
	_, err = h.Look(ctx, "millgate-hall", secretOf(link))
	wants(t, err, ErrLink)
	_, _, err = h.InviteAgain(ctx, h.ines.Who, tom.Who.ID)
	refused(t, err, practice.NotAllowed)
}

// The owner changes what somebody is: what they were signed in with ends, they
// come in again as what they are now, and the last owner stays one.
func TestChangingRoles(t *testing.T) {
	h := millgate(t)
	ctx := t.Context()
	tom := h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach)
	refused(t, h.ChangeRole(ctx, tom.Who, tom.Who.ID, practice.Owner), practice.NotAllowed)
	refused(t, h.ChangeRole(ctx, h.ines.Who, "nobody", practice.Owner), practice.NotFound)
	var fs practice.Faults
	if err := h.ChangeRole(ctx, h.ines.Who, tom.Who.ID, practice.AsStudent); !errors.As(err, &fs) || fs[0].Field != "role" {
		t.Errorf("a role nobody works in: %v", err)
	}
	wants(t, h.ChangeRole(ctx, h.ines.Who, h.ines.Who.ID, practice.Coach), ErrLastOwner)
	if in := h.who(t, tom); in.Who.Role != practice.Coach {
		t.Errorf("in as %+v", in.Who)
	}
	if err := h.ChangeRole(ctx, h.ines.Who, tom.Who.ID, practice.Owner); err != nil {
		t.Fatal(err)
	}
	_, err := h.Who(ctx, tom.Cookie)
	wants(t, err, ErrSignedOut)
	again, err := h.SignIn(ctx, "millgate-hall", "tom@millgate.example", phrase, "")
	if err != nil || h.who(t, again).Who.Role != practice.Owner {
		t.Errorf("in again as %+v, %v", again.Who, err)
	}
	if err := h.ChangeRole(ctx, again.Who, h.ines.Who.ID, practice.Assistant); err != nil {
		t.Fatal(err)
	}
	_, err = h.Who(ctx, h.ines.Cookie)
	wants(t, err, ErrSignedOut)
	wants(t, h.Leave(ctx, again.Who, tom.Who.ID), ErrLastOwner)
}

// Two owners who each make the other a coach at the same time do not leave the
// studio without one.
func TestRolesAtOnce(t *testing.T) {
	for range 20 {
		h := millgate(t)
		tom := h.invited(t, "Tom Ash", "tom@millgate.example", practice.Owner)
		var wait sync.WaitGroup
		for _, c := range []struct{ by, of practice.Who }{{h.ines.Who, tom.Who}, {tom.Who, h.ines.Who}} {
			wait.Go(func() {
				if err := h.ChangeRole(t.Context(), c.by, c.of.ID, practice.Coach); err != nil && !errors.Is(err, ErrLastOwner) {
					t.Error(err)
				}
			})
		}
		wait.Wait()
		people, err := h.store.People(t.Context(), h.ines.Who)
		if err != nil || !slices.ContainsFunc(people, func(k practice.Kept[practice.Person]) bool { return k.Value.Role == practice.Owner }) {
			t.Fatalf("no owner: %+v, %v", people, err)
		}
	}
}

// What the owner decides while an invitation is being taken up holds.
func TestRoleChangedWhileComingIn(t *testing.T) {
	h := millgate(t)
	link, p, err := h.Invite(t.Context(), h.ines.Who, "Tom Ash", "tom@millgate.example", practice.Owner)
	if err != nil {
		t.Fatal(err)
	}
	h.Account.Store = meanwhile{h.store, func() {
		h.Account.Store = h.store
		if err := h.ChangeRole(t.Context(), h.ines.Who, p.ID, practice.Assistant); err != nil {
			t.Error(err)
		}
	}}
	ticket, err := h.Accept(t.Context(), "millgate-hall", secretOf(link), Entry{Name: "Tom Ash", Email: "tom@millgate.example", Password: phrase}, "")
	if err != nil || h.who(t, ticket).Who.Role != practice.Assistant {
		t.Errorf("in as %+v, %v", ticket.Who, err)
	}
}

// meanwhile is a store where something happens just before a link is taken.
type meanwhile struct {
	*memory
	do func()
}

func (m meanwhile) TakeDoor(ctx context.Context, who practice.Who, hash string, at practice.Instant, once bool) error {
	m.do()
	return m.memory.TakeDoor(ctx, who, hash, at, once)
}

// The owner signs a colleague out everywhere; the password still opens.
func TestEndingAColleaguesBrowsers(t *testing.T) {
	h := millgate(t)
	ctx := t.Context()
	tom := h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach)
	refused(t, h.EndPerson(ctx, tom.Who, h.ines.Who.ID), practice.NotAllowed)
	refused(t, h.EndPerson(ctx, h.ines.Who, "nobody"), practice.NotFound)
	if err := h.EndPerson(ctx, h.ines.Who, tom.Who.ID); err != nil {
		t.Fatal(err)
	}
	_, err := h.Who(ctx, tom.Cookie)
	wants(t, err, ErrSignedOut)
	h.who(t, h.ines)
	if _, err := h.SignIn(ctx, "millgate-hall", "tom@millgate.example", phrase, ""); err != nil {
		t.Error(err)
	}
}

func TestOwnLinks(t *testing.T) {
	h := millgate(t)
	ctx := t.Context()
	tom := h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach)
	for _, s := range []practice.Student{{ID: "mira", Name: "Mira", Coach: tom.Who.ID, Guardian: "Maren"}, {ID: "otto", Name: "Otto", Coach: h.ines.Who.ID}} {
		h.store.students[practice.Who{Studio: "millgate-hall", ID: s.ID}] = s
	}
	h.store.guardians = []practice.Kept[practice.Guardian]{{Value: practice.Guardian{ID: "maren", Name: "Maren", Students: []string{"mira"}}}}
	for _, c := range []struct {
		kind practice.DoorFor
		of   string
		role practice.Role
		name string
	}{{practice.StudentDoor, "mira", practice.AsStudent, "Mira"}, {practice.GuardianDoor, "maren", practice.AsGuardian, "Maren"}} {
		link, err := h.OwnLink(ctx, tom.Who, c.kind, c.of)
		if err != nil {
			t.Fatal(err)
		}
		first, err := h.Enter(ctx, "millgate-hall", secretOf(link), "")
		if err != nil {
			t.Fatal(err)
		}
		second, err := h.Enter(ctx, "millgate-hall", secretOf(link), "") // another phone
		if err != nil {
			t.Fatal(err)
		}
		if in := h.who(t, second); in.Who.Role != c.role || in.Name != c.name || in.Staff() {
			t.Errorf("in as %+v", in)
		}
		_, err = h.Accept(ctx, "millgate-hall", secretOf(link), Entry{Name: "X", Email: "x@y.example", Password: phrase}, "")
		wants(t, err, ErrLink)
		renewed, err := h.OwnLink(ctx, h.ines.Who, c.kind, c.of)
		if err != nil {
			t.Fatal(err)
		}
		_, err = h.Who(ctx, first.Cookie)
		wants(t, err, ErrSignedOut)
		_, err = h.Enter(ctx, "millgate-hall", secretOf(link), "")
		wants(t, err, ErrLink)
		third, err := h.Enter(ctx, "millgate-hall", secretOf(renewed), "")
		if err != nil {
			t.Fatal(err)
		}
		if err := h.Revoke(ctx, tom.Who, c.kind, c.of); err != nil {
			t.Fatal(err)
		}
		_, err = h.Who(ctx, third.Cookie)
		wants(t, err, ErrSignedOut)
	}
	_, err := h.OwnLink(ctx, tom.Who, practice.StudentDoor, "otto")
	refused(t, err, practice.NotAllowed)
	_, err = h.OwnLink(ctx, practice.Who{Studio: "millgate-hall", ID: "maren", Role: practice.AsGuardian}, practice.GuardianDoor, "maren")
	refused(t, err, practice.NotAllowed)
	ways, err := h.WaysIn(ctx, tom.Who, "mira")
	if err != nil || len(ways) != 2 || ways[0].Door != nil {
		t.Errorf("%+v, %v", ways, err)
	}
}

// Who is erased is nobody at once.
func TestForgottenStudentIsSignedOut(t *testing.T) {
	h := millgate(t)
	key := practice.Who{Studio: "millgate-hall", ID: "mira"}
	h.store.students[key] = practice.Student{ID: "mira", Name: "Mira"}
	link, err := h.OwnLink(t.Context(), h.ines.Who, practice.StudentDoor, "mira")
	if err != nil {
		t.Fatal(err)
	}
	ticket, err := h.Enter(t.Context(), "millgate-hall", secretOf(link), "")
	if err != nil {
		t.Fatal(err)
	}
	delete(h.store.students, key)
	_, err = h.Who(t.Context(), ticket.Cookie)
	wants(t, err, ErrSignedOut)
	_, err = h.Look(t.Context(), "millgate-hall", secretOf(link))
	wants(t, err, ErrLink)
}

func TestEndingBrowsers(t *testing.T) {
	h := millgate(t)
	tom := h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach)
	in := h.who(t, h.ines)
	refused(t, h.End(t.Context(), in, h.who(t, tom).SignIn.ID), practice.NotFound)
	h.who(t, tom)
	other, _ := h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, "")
	if err := h.End(t.Context(), in, h.who(t, other).SignIn.ID); err != nil {
		t.Fatal(err)
	}
	_, err := h.Who(t.Context(), other.Cookie)
	wants(t, err, ErrSignedOut)
	other, _ = h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, "")
	if err := h.EndOthers(t.Context(), in); err != nil {
		t.Fatal(err)
	}
	_, err = h.Who(t.Context(), other.Cookie)
	wants(t, err, ErrSignedOut)
	h.who(t, h.ines)
}

func TestRename(t *testing.T) {
	h := millgate(t)
	h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach)
	in := h.who(t, h.ines)
	refused(t, h.Rename(t.Context(), in, "Ines", "tom@millgate.example"), practice.ExistsAlready)
	refused(t, h.Rename(t.Context(), in, "", "ines@millgate.example"), practice.MissingField)
	if err := h.Rename(t.Context(), in, "Ines M.", "i@millgate.example"); err != nil {
		t.Fatal(err)
	}
	h.clock = h.clock.Add(FreshFor + time.Minute)
	in = h.who(t, h.ines)
	if in.Name != "Ines M." {
		t.Error(in.Name)
	}
	wants(t, h.Rename(t.Context(), in, "Ines", "ines@millgate.example"), ErrStale)
	if err := h.Rename(t.Context(), in, "Ines", "i@millgate.example"); err != nil {
		t.Error(err)
	}
}

// An address nobody has costs a hash like one that somebody has: with every
// turn taken, both wait.
func TestUnknownAddressCostsAHash(t *testing.T) {
	h := millgate(t)
	for range cap(h.hashing) {
		h.hashing <- struct{}{}
	}
	for _, email := range []string{"ines@millgate.example", "nobody@millgate.example"} {
		ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
		_, err := h.SignIn(ctx, "millgate-hall", email, phrase, "")
		cancel()
		wants(t, err, ErrBusy)
	}
}

func TestExpiredSignInsGo(t *testing.T) {
	h := millgate(t)
	h.clock = h.clock.Add(LastsFor(practice.Owner).Whole)
	if _, err := h.SignIn(t.Context(), "millgate-hall", "ines@millgate.example", phrase, "A\tB"+strings.Repeat("é", 200)); err != nil {
		t.Fatal(err)
	}
	if n := len(h.store.signIns); n != 1 {
		t.Errorf("%d sign-ins are kept", n)
	}
	for _, s := range h.store.signIns {
		if len(s.Agent) > maxAgent || !strings.HasPrefix(s.Agent, "ABé") {
			t.Errorf("agent %q", s.Agent)
		}
	}
}

// Ceremonies are few, end in time, and are answered once.
func TestCeremonies(t *testing.T) {
	c := ceremonies{open: map[string]ceremony{}}
	now := time.Unix(0, 0)
	for i := range maxCeremonies + 50 {
		c.put(fmt.Sprint(i), ceremony{until: now.Add(time.Minute + time.Duration(i))}, now)
	}
	if _, ok := c.take("0", now); ok || len(c.open) != maxCeremonies {
		t.Errorf("the oldest of %d is still open", len(c.open))
	}
	newest := fmt.Sprint(maxCeremonies + 49)
	if _, ok := c.take(newest, now); !ok {
		t.Error("the newest is not open")
	}
	if _, ok := c.take(newest, now); ok {
		t.Error("answered twice")
	}
	if _, ok := c.take("500", now.Add(time.Hour)); ok {
		t.Error("answered too late")
	}
}

func TestPasskeysOfNobody(t *testing.T) {
	h := millgate(t)
	_, err := h.AskPasskey(t.Context(), "elsewhere")
	wants(t, err, ErrPasskey)
	q, err := h.AskPasskey(t.Context(), "millgate-hall")
	if err != nil {
		t.Fatal(err)
	}
	_, err = h.SignInByPasskey(t.Context(), q.Key, []byte("{}"), "")
	wants(t, err, ErrPasskey)
	_, err = h.SignInByPasskey(t.Context(), q.Key, []byte("{}"), "")
	wants(t, err, ErrPasskey)
	in := h.who(t, h.ines)
	wants(t, h.KeepPasskey(t.Context(), in, q.Key, "", nil), ErrPasskey)
	q, err = h.AskNewPasskey(t.Context(), in)
	if err != nil {
		t.Fatal(err)
	}
	tom := h.who(t, h.invited(t, "Tom Ash", "tom@millgate.example", practice.Coach))
	wants(t, h.KeepPasskey(t.Context(), tom, q.Key, "", []byte("{}")), ErrPasskey) // another's question
	key := practice.Passkey{ID: "k", Person: in.Who.ID, Name: "phone", Since: h.now(in.Studio)}
	if err := h.store.PutPasskey(t.Context(), in.Who, key); err != nil {
		t.Fatal(err)
	}
	refused(t, h.NamePasskey(t.Context(), tom, "k", "mine"), practice.NotFound)
	refused(t, h.RemovePasskey(t.Context(), tom, "k"), practice.NotFound)
	if err := h.NamePasskey(t.Context(), in, "k", " "); err != nil {
		t.Fatal(err)
	}
	if keys, _ := h.Passkeys(t.Context(), in); len(keys) != 1 || keys[0].Name != "2026-06-01" {
		t.Errorf("%+v", keys)
	}
	h.clock = h.clock.Add(time.Hour)
	wants(t, h.RemovePasskey(t.Context(), in, "k"), ErrStale)
	_, err = h.AskNewPasskey(t.Context(), in)
	wants(t, err, ErrStale)
}

// ending is a store in which a sign-in is ended just after it was read: a
// request under way while somebody revokes it.
type ending struct{ *memory }

func (e ending) SignInByToken(ctx context.Context, who practice.Who, token string) (practice.SignIn, error) {
	s, err := e.memory.SignInByToken(ctx, who, token)
	if err != nil {
		return s, err
	}
	return s, e.memory.RemoveSignIn(ctx, s.Who, s.ID)
}

// What was revoked while a request was under way is not written back, neither
// as seen nor with a new token.
func TestRevokedMeanwhileStaysRevoked(t *testing.T) {
	for name, wait := range map[string]time.Duration{"seen": seenEvery, "a new token": renewAfter} {
		h := millgate(t)
		h.clock = h.clock.Add(wait)
		h.Account.Store = ending{h.store}
		if _, err := h.Account.Who(t.Context(), h.ines.Cookie); !errors.Is(err, ErrSignedOut) {
			t.Errorf("%s: %v", name, err)
		}
		if left, err := h.store.SignIns(t.Context(), h.ines.Who); err != nil || len(left) != 0 {
			t.Errorf("%s: written back: %+v, %v", name, left, err)
		}
	}
}
