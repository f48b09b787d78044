package folder

import (
	"crypto/sha256"
	"encoding/json"
	"io"
	"strconv"

	"aplomb/internal/practice"
)

// readNamed reads a list of objects with ids, gives the sound ones to keep, and
// returns every id met, of the others too: what names a student with a fault is
// no second fault.
func readNamed[T any](file io.Reader, l *list, check func(*T, *record) []practice.Fault, keep func(T, *record)) (ids names) {
	seen := firstLines{}
	whole := readList(file, l, func(v T, rec *record) {
		id := identity(rec)
		if rec.sound {
			rec.check(check(&v, rec))
		}
		if id == "" {
			ids.open = true
			return
		}
		rec.check(seen.repeated("id", id, rec.lineOf("id")))
		ids.add(id)
		if rec.sound {
			keep(v, rec)
		}
	})
	ids.open = ids.open || !whole
	return ids
}

// identity is the id of a record that may have faults, empty where it has none.
func identity(rec *record) string {
	var named struct {
		ID string `json:"id"`
	}
	if err := json.Unmarshal(rec.raw, &named); err != nil {
		return "" // the walk has said so
	}
	return named.ID
}

// firstLines remembers where each id stood first. It keeps 16 bytes of the
// SHA-256 of an id (FIPS 180-4) instead of the text: two million ids then take
// tens of megabytes, and that two of them look alike has a chance under 1e-25.
type firstLines map[[16]byte]int32

func digest(id string) [16]byte {
	sum := sha256.Sum256([]byte(id))
	return [16]byte(sum[:16])
}

// repeated is the fault of an id that stood before, or none.
func (f firstLines) repeated(field, id string, line int) []practice.Fault {
	key := digest(id)
	if first, ok := f[key]; ok {
		return []practice.Fault{{Code: practice.RepeatedID, Field: field, Value: practice.Short(id), Near: "line " + strconv.Itoa(int(first))}}
	}
	f[key] = int32(line)
	return nil
}
