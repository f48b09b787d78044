package folder

import (
	"encoding/json"
	"io"
	"reflect"
	"strconv"

	"aplomb/internal/practice"
)

// readStudio reads studio.json. It is false where the folder is of a format
// that this program does not know: then nothing else in it means anything.
func (r *reader) readStudio() (known bool) {
	known = true
	r.file("studio.json", true, func(file io.Reader, l *list) {
		r.studio.Studio, known = readStudio(file, l)
	})
	return known
}

func readStudio(file io.Reader, l *list) (s practice.Studio, known bool) {
	data := readDocument(file, l)
	if data == nil {
		return s, true
	}
	if f := otherFormat(data); f != nil {
		l.add(newRecord(data, 1, reflect.TypeFor[practice.Studio](), &list{}).lineOf("format"), *f)
		return s, false
	}
	s, rec := decodeObject[practice.Studio](data, l)
	if rec != nil && rec.sound {
		rec.check(s.Check())
	}
	return s, true
}

// otherFormat is the fault of a format number other than ours, or nil.
func otherFormat(data []byte) *practice.Fault {
	var peek struct {
		Format json.Number `json:"format"`
	}
	if err := json.Unmarshal(data, &peek); err != nil || peek.Format == "" || peek.Format == "1" {
		return nil // anything wrong with it is found by the walk
	}
	return &practice.Fault{Code: practice.WrongFormat, Field: "format", Value: practice.Short(peek.Format.String()),
		Want: strconv.Itoa(Format)}
}
