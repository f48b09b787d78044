package folder

import (
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"reflect"
	"slices"
	"strings"

	"aplomb/internal/practice"
)

// readStudio reads studio.json. It is false where the folder is of a format
// that this program does not know: then nothing else in it means anything.
func (r *reader) readStudio(entries []fs.DirEntry) (known bool) {
	known = true
	r.file("studio.json", true, func(file io.Reader, l *list) {
		var s practice.Studio
		if s, known = readStudio(file, entries, l); known {
			give(r, l, Sink.Studio, s)
		}
	})
	return known
}

func readStudio(file io.Reader, entries []fs.DirEntry, l *list) (s practice.Studio, known bool) {
	data := readDocument(file, l)
	if data == nil {
		return s, true
	}
	format := formatOf(data)
	if format != "" && format != "1" && format != "2" { // without one, the walk says what is wrong
		l.add(newRecord(data, 1, reflect.TypeFor[practice.Studio](), &list{}).lineOf("format"),
			practice.Fault{Code: practice.WrongFormat, Field: "format", Value: practice.Short(format), Want: fmt.Sprintf("1 or %d", Format)})
		return s, false
	}
	s, rec := decodeObject[practice.Studio](data, l)
	if rec != nil && rec.sound {
		rec.check(s.Check())
	}
	if rec != nil && format == "1" {
		rec.check(newer(entries))
	}
	return s, true
}

// formatOf is the format number as it is written, empty where there is none.
func formatOf(data []byte) string {
	var peek struct {
		Format json.Number `json:"format"`
	}
	if err := json.Unmarshal(data, &peek); err != nil {
		return "" // the walk says what is wrong
	}
	return peek.Format.String()
}

// newer is the fault of a folder of format 1 with files that came with format
// 2, or none.
func newer(entries []fs.DirEntry) []practice.Fault {
	var names []string
	for _, e := range entries {
		if slices.Contains(inFormat2, e.Name()) {
			names = append(names, e.Name())
		}
	}
	if len(names) == 0 {
		return nil
	}
	return []practice.Fault{{Code: practice.Contradiction, Field: "format", Value: "1",
		Want: "2, the format of " + strings.Join(names, ", ")}}
}
