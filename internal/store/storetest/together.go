package storetest

import (
	"strconv"
	"sync"
	"testing"

	"aplomb/internal/practice"
	"aplomb/internal/store"
)

// Of writers that start from the same revision one gets through; rows of one
// student from many writers are all there; an invitation is taken once.
func oneAtATime(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	ok(t, s.PutDoor(ctx, millgate, practice.Door{Hash: "h", For: practice.InviteDoor, Of: "tom"}))
	const writers = 12
	var put, taken, added [writers]error
	var all sync.WaitGroup
	for i := range writers {
		all.Go(func() {
			changed := mira()
			changed.Goal = strconv.Itoa(i)
			_, put[i] = s.PutStudent(ctx, millgate, changed, 1)
			taken[i] = s.TakeDoor(ctx, millgate, "h", at(0), true)
			row := practice.Attempt{ID: "w" + strconv.Itoa(i), Student: "mira", At: at(0)}
			added[i] = s.AddLog(ctx, millgate, "mira", practice.Log{Attempts: []practice.Attempt{row}})
		})
	}
	all.Wait()
	through := map[string]int{}
	for i := range writers {
		ok(t, added[i])
		if put[i] == nil {
			through["put"]++
		} else {
			refused(t, put[i], practice.ChangedSince)
		}
		if taken[i] == nil {
			through["taken"]++
		} else {
			refused(t, taken[i], practice.NotFound)
		}
	}
	same(t, "how many got through", through, map[string]int{"put": 1, "taken": 1})
	if n := len(got[practice.Log](t)(s.Log(ctx, millgate, "mira")).Attempts); n != writers {
		t.Errorf("%d rows, want %d", n, writers)
	}
}

// What is read in one go is from one moment, whatever is written meanwhile.
func oneState(t *testing.T, fresh Fresh) {
	s, _ := hall(t, fresh)
	ok(t, s.Snapshot(ctx, millgate, func(v *store.Snapshot) error {
		before := got[[]practice.Student](t)(v.Students())
		must(t)(s.PutStudent(ctx, millgate, practice.Student{ID: "new", Name: "New"}, 0))
		ok(t, s.AddLog(ctx, millgate, "mira", day("mira")))
		same(t, "students", got[[]practice.Student](t)(v.Students()), before)
		if r := got[store.Record](t)(v.Record("mira")); len(r.Log.Attempts) != 0 {
			t.Error("a row of a later moment")
		}
		return nil
	}))
}
