package folder

import (
	"encoding/json"
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
	if format != "" && !slices.Contains(formats, format) { // without one, the walk says what is wrong
		l.add(newRecord(data, 1, reflect.TypeFor[practice.Studio](), &list{}).lineOf("format"),
			practice.Fault{Code: practice.WrongFormat, Field: "format", Value: practice.Short(format), Want: strings.Join(formats, ", ")})
		return s, false
	}
	s, rec := decodeObject[practice.Studio](data, l)
	if rec != nil && rec.sound {
		rec.check(append(s.Check(), newer(format, entries)...))
	}
	return s, true
}

// formats are the format numbers this program reads.
var formats = []string{"1", "2", "3"}

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

// newer is the fault of a folder with files that came with a later format, or
// none.
func newer(format string, entries []fs.DirEntry) []practice.Fault {
	var names []string
	need := format
	for _, since := range []struct {
		format string
		files  []string
	}{{"2", inFormat2}, {"3", inFormat3}} {
		for _, e := range entries {
			if format < since.format && slices.Contains(since.files, e.Name()) {
				names, need = append(names, e.Name()), since.format
			}
		}
	}
	if format == "" || len(names) == 0 {
		return nil
	}
	return []practice.Fault{{Code: practice.Contradiction, Field: "format", Value: format,
		Want: need + ", the format of " + strings.Join(names, ", ")}}
}
