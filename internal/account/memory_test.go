package account

import (
	"cmp"
	"context"
	"slices"
	"strings"
	"sync"

	"aplomb/internal/practice"
)

// memory is a store without a disk, for tests of account alone; the whole
// program is tried with the real ones.
type memory struct {
	mu        sync.Mutex
	studios   map[string]practice.Kept[practice.Studio]
	people    map[practice.Who]practice.Kept[practice.Person] // role left out
	students  map[practice.Who]practice.Student
	guardians []practice.Kept[practice.Guardian]
	passwords map[practice.Who]practice.Password
	passkeys  map[practice.Who]practice.Passkey
	doors     map[practice.Who]practice.Door
	signIns   map[practice.Who]practice.SignIn
	fail      error // what every reading of people fails with
}

func newMemory() *memory {
	return &memory{studios: map[string]practice.Kept[practice.Studio]{}, people: map[practice.Who]practice.Kept[practice.Person]{},
		students: map[practice.Who]practice.Student{}, passwords: map[practice.Who]practice.Password{},
		passkeys: map[practice.Who]practice.Passkey{}, doors: map[practice.Who]practice.Door{}, signIns: map[practice.Who]practice.SignIn{}}
}

func at(who practice.Who, id string) practice.Who { return practice.Who{Studio: who.Studio, ID: id} }

func got[V any](m *memory, of map[practice.Who]V, key practice.Who) (V, error) {
	m.mu.Lock()
	defer m.mu.Unlock()
	v, ok := of[key]
	if !ok {
		return v, practice.Fault{Code: practice.NotFound, Value: key.ID}
	}
	return v, nil
}

func put[V any](m *memory, of map[practice.Who]V, key practice.Who, v V) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	of[key] = v
	return nil
}

func drop[V any](m *memory, of map[practice.Who]V, gone func(practice.Who, V) bool) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	for k, v := range of {
		if gone(k, v) {
			delete(of, k)
		}
	}
	return nil
}

func list[V any](m *memory, of map[practice.Who]V, want func(practice.Who, V) bool, id func(V) string) (out []V) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for k, v := range of {
		if want(k, v) {
			out = append(out, v)
		}
	}
	slices.SortFunc(out, func(a, b V) int { return cmp.Compare(id(a), id(b)) })
	return out
}

func (m *memory) Studios(context.Context) (out []practice.Studio, err error) {
	for _, s := range m.studios {
		out = append(out, s.Value)
	}
	return out, nil
}

func (m *memory) Studio(_ context.Context, who practice.Who) (practice.Kept[practice.Studio], error) {
	s, ok := m.studios[who.Studio]
	if !ok {
		return s, practice.Fault{Code: practice.NotFound, Value: who.Studio}
	}
	return s, nil
}

func (m *memory) Begin(_ context.Context, who practice.Who, s practice.Studio, p practice.Person, pw practice.Password) error {
	if m.fail != nil {
		return m.fail
	}
	m.studios[s.ID] = practice.Kept[practice.Studio]{Value: s, Rev: 1}
	return cmp.Or(put(m, m.people, at(who, p.ID), practice.Kept[practice.Person]{Value: p, Rev: 1}), put(m, m.passwords, at(who, p.ID), pw))
}

func (m *memory) People(_ context.Context, who practice.Who) ([]practice.Kept[practice.Person], error) {
	return list(m, m.people, func(k practice.Who, _ practice.Kept[practice.Person]) bool { return k.Studio == who.Studio },
		func(p practice.Kept[practice.Person]) string { return p.Value.ID }), m.fail
}

func (m *memory) Person(_ context.Context, who practice.Who, id string) (practice.Kept[practice.Person], error) {
	p, err := got(m, m.people, at(who, id))
	return p, cmp.Or(m.fail, err)
}

func (m *memory) PersonByEmail(ctx context.Context, who practice.Who, address string) (practice.Kept[practice.Person], error) {
	people, err := m.People(ctx, who)
	for _, p := range people {
		if strings.EqualFold(p.Value.Email, address) {
			return p, err
		}
	}
	return practice.Kept[practice.Person]{}, cmp.Or(err, error(practice.Fault{Code: practice.NotFound}))
}

func (m *memory) PutPerson(_ context.Context, who practice.Who, p practice.Person, base int64) (int64, error) {
	if m.people[at(who, p.ID)].Rev != base {
		return 0, practice.Fault{Code: practice.ChangedSince, Value: p.ID}
	}
	return base + 1, put(m, m.people, at(who, p.ID), practice.Kept[practice.Person]{Value: p, Rev: base + 1})
}

func (m *memory) Student(_ context.Context, who practice.Who, id string) (practice.Kept[practice.Student], error) {
	s, err := got(m, m.students, at(who, id))
	return practice.Kept[practice.Student]{Value: s, Rev: 1}, err
}

func (m *memory) Guardians(context.Context, practice.Who) ([]practice.Kept[practice.Guardian], error) {
	return m.guardians, nil
}

func (m *memory) Password(_ context.Context, who practice.Who, person string) (practice.Password, error) {
	return got(m, m.passwords, at(who, person))
}

func (m *memory) PutPassword(_ context.Context, who practice.Who, p practice.Password) error {
	return put(m, m.passwords, at(who, p.Person), p)
}

func (m *memory) RemovePassword(_ context.Context, who practice.Who, person string) error {
	return drop(m, m.passwords, func(k practice.Who, _ practice.Password) bool { return k == at(who, person) })
}

func (m *memory) Passkeys(_ context.Context, who practice.Who, person string) ([]practice.Passkey, error) {
	return list(m, m.passkeys, func(k practice.Who, v practice.Passkey) bool { return k.Studio == who.Studio && v.Person == person },
		func(k practice.Passkey) string { return k.ID }), nil
}

func (m *memory) Passkey(_ context.Context, who practice.Who, id string) (practice.Passkey, error) {
	return got(m, m.passkeys, at(who, id))
}

func (m *memory) PutPasskey(_ context.Context, who practice.Who, k practice.Passkey) error {
	return put(m, m.passkeys, at(who, k.ID), k)
}

func (m *memory) RemovePasskey(_ context.Context, who practice.Who, id string) error {
	return drop(m, m.passkeys, func(k practice.Who, _ practice.Passkey) bool { return k == at(who, id) })
}

func (m *memory) Doors(_ context.Context, who practice.Who) ([]practice.Door, error) {
	return list(m, m.doors, func(k practice.Who, _ practice.Door) bool { return k.Studio == who.Studio },
		func(d practice.Door) string { return d.Hash }), nil
}

func (m *memory) DoorByHash(_ context.Context, who practice.Who, hash string) (practice.Door, error) {
	return got(m, m.doors, at(who, hash))
}

func (m *memory) PutDoor(_ context.Context, who practice.Who, d practice.Door) error {
	return put(m, m.doors, at(who, d.Hash), d)
}

func (m *memory) TakeDoor(_ context.Context, who practice.Who, hash string, when practice.Instant, once bool) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	d, ok := m.doors[at(who, hash)]
	if !ok || once && d.Used != nil {
		return practice.Fault{Code: practice.NotFound}
	}
	if d.Used == nil {
		d.Used = &when
	}
	m.doors[at(who, hash)] = d
	return nil
}

func (m *memory) CloseDoors(_ context.Context, who practice.Who, kind practice.DoorFor, of string) error {
	return drop(m, m.doors, func(k practice.Who, d practice.Door) bool {
		return k.Studio == who.Studio && d.For == kind && d.Of == of
	})
}

func (m *memory) SignIns(_ context.Context, who practice.Who) ([]practice.SignIn, error) {
	return list(m, m.signIns, func(_ practice.Who, s practice.SignIn) bool { return s.Who.Studio == who.Studio && s.Who.ID == who.ID },
		func(s practice.SignIn) string { return s.ID }), nil
}

func (m *memory) SignInByToken(_ context.Context, who practice.Who, token string) (practice.SignIn, error) {
	all := list(m, m.signIns, func(k practice.Who, s practice.SignIn) bool { return k.Studio == who.Studio && s.Token == token },
		func(s practice.SignIn) string { return s.ID })
	if len(all) == 0 {
		return practice.SignIn{}, practice.Fault{Code: practice.NotFound}
	}
	return all[0], nil
}

func (m *memory) PutSignIn(_ context.Context, who practice.Who, s practice.SignIn) error {
	return put(m, m.signIns, at(who, s.ID), s)
}

func (m *memory) SeeSignIn(_ context.Context, who practice.Who, s practice.SignIn) error {
	if _, ok := m.signIns[at(who, s.ID)]; !ok {
		return practice.Fault{Code: practice.NotFound}
	}
	return put(m, m.signIns, at(who, s.ID), s)
}

func (m *memory) RenewSignIn(ctx context.Context, who practice.Who, old, next practice.SignIn) error {
	if err := m.SeeSignIn(ctx, who, old); err != nil {
		return err
	}
	return m.PutSignIn(ctx, who, next)
}

func (m *memory) RemoveSignIn(_ context.Context, who practice.Who, id string) error {
	return drop(m, m.signIns, func(k practice.Who, _ practice.SignIn) bool { return k == at(who, id) })
}

func (m *memory) RemoveSignIns(_ context.Context, who practice.Who, except string) error {
	return drop(m, m.signIns, func(_ practice.Who, s practice.SignIn) bool {
		return s.Who.Studio == who.Studio && s.Who.ID == who.ID && s.ID != except
	})
}

func (m *memory) RemoveExpired(_ context.Context, who practice.Who, by practice.Instant) error {
	err := drop(m, m.doors, func(k practice.Who, d practice.Door) bool {
		return k.Studio == who.Studio && d.Expires != nil && !by.Before(*d.Expires)
	})
	if err != nil {
		return err
	}
	return drop(m, m.signIns, func(_ practice.Who, s practice.SignIn) bool {
		return s.Who.Studio == who.Studio && !by.Before(s.Expires)
	})
}
