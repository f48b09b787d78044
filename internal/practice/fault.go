package practice

import (
	"errors"
	"fmt"
	"strconv"
	"strings"
)

// Code names what is wrong, for machines; `words` has the sentence for it.
type Code string

// Codes of faults in what a studio hands in.
const (
	NotRead        Code = "not-read"        // the file could not be opened or read
	NotWritten     Code = "not-written"     // a file could not be written
	NotThere       Code = "not-there"       // a file or folder that must exist does not
	NoSuchPath     Code = "no-such-path"    // what was named on the command line is not there
	UnknownFile    Code = "unknown-file"    // a file whose name means nothing here
	NotUTF8        Code = "not-utf8"        // bytes that are not UTF-8
	LineTooLong    Code = "line-too-long"   // a line over the limit
	BadJSON        Code = "bad-json"        // not JSON, or cut off
	BadCSV         Code = "bad-csv"         // quotes or columns do not add up
	WrongSeparator Code = "wrong-separator" // semicolons or tabs where commas belong
	NoHeader       Code = "no-header"       // empty file, or no header row
	UnknownColumn  Code = "unknown-column"
	MissingColumn  Code = "missing-column"
	RepeatedColumn Code = "repeated-column"
	FieldCount     Code = "field-count" // a row with too few or too many fields
	UnknownField   Code = "unknown-field"
	MissingField   Code = "missing-field"
	RepeatedField  Code = "repeated-field" // the same field twice in one object
	WrongType      Code = "wrong-type"
	UnknownWord    Code = "unknown-word"
	BadID          Code = "bad-id"
	RepeatedID     Code = "repeated-id"
	UnknownID      Code = "unknown-id" // names a student, drill, session … that is not there
	BadInstant     Code = "bad-instant"
	NoOffset       Code = "no-offset" // a date and time without its offset
	BadDate        Code = "bad-date"
	BadZone        Code = "bad-zone" // not a time zone by its IANA name
	BadNumber      Code = "bad-number"
	DecimalComma   Code = "decimal-comma"
	OutOfRange     Code = "out-of-range"
	Contradiction  Code = "contradiction" // two fields that cannot both be so
	WrongFormat    Code = "wrong-format"  // a format number this program does not read
	TooMany        Code = "too-many"      // the list of faults was cut here
)

// Codes of what a studio's store and its doors refuse.
const (
	NotAllowed    Code = "not-allowed"    // this person may not do this
	NoConsent     Code = "no-consent"     // nobody who may has said yes to keeping this
	NotFound      Code = "not-found"      // nothing of this name is kept
	ExistsAlready Code = "exists-already" // something else of this name is kept
	ChangedSince  Code = "changed-since"  // somebody changed it since it was read
	NoKey         Code = "no-key"         // the key of the health notes is not here
	WrongKey      Code = "wrong-key"      // what is sealed does not open with this key
	BadKey        Code = "bad-key"        // not a key, or part of one
	OpenKey       Code = "open-key"       // others on the machine can read the key
	BackupBroken  Code = "backup-broken"  // not a backup, or damaged
	StoreFull     Code = "store-full"     // no room left on the disk
	StoreLocked   Code = "store-locked"   // another program holds it
	StoreReadOnly Code = "store-read-only"
	StoreNewer    Code = "store-newer"  // written by a newer program
	StoreBroken   Code = "store-broken" // not a store, or damaged
	StoreAway     Code = "store-away"   // the database does not answer
)

// Codes is every code there is.
var Codes = []Code{
	NotRead, NotWritten, NotThere, NoSuchPath, UnknownFile, NotUTF8, LineTooLong, BadJSON, BadCSV, WrongSeparator, NoHeader,
	UnknownColumn, MissingColumn, RepeatedColumn, FieldCount, UnknownField, MissingField, RepeatedField,
	WrongType, UnknownWord, BadID, RepeatedID, UnknownID, BadInstant, NoOffset, BadDate, BadZone, BadNumber,
	DecimalComma, OutOfRange, Contradiction, WrongFormat, TooMany,
	NotAllowed, NoConsent, NotFound, ExistsAlready, ChangedSince, NoKey, WrongKey, BadKey, OpenKey, BackupBroken,
	StoreFull, StoreLocked, StoreReadOnly, StoreNewer, StoreBroken, StoreAway,
}

// Fault is one thing wrong in what was handed in: where, what, and what would
// be right. File and Line are empty and 0 where the value has no file.
type Fault struct {
	Code  Code   `json:"code"`
	File  string `json:"file,omitempty"`
	Line  int    `json:"line,omitempty"`
	Field string `json:"field,omitempty"`
	Value string `json:"value,omitempty"` // what stood there, shortened
	Want  string `json:"want,omitempty"`  // what would be right: a range, the known words
	Near  string `json:"near,omitempty"`  // the nearest known word, or the other place
	Err   error  `json:"-"`               // the cause, for the log
}

// Error is the fault for a log; a person reads the sentence from `words`.
func (f Fault) Error() string {
	var b strings.Builder
	if f.File != "" {
		b.WriteString(f.File)
		if f.Line > 0 {
			b.WriteString(":" + strconv.Itoa(f.Line))
		}
		b.WriteString(": ")
	}
	b.WriteString(string(f.Code))
	for _, part := range []struct{ name, value string }{
		{"field", f.Field}, {"value", f.Value}, {"want", f.Want}, {"near", f.Near},
	} {
		if part.value != "" {
			fmt.Fprintf(&b, " %s=%s", part.name, quote(part.value))
		}
	}
	return b.String()
}

// Unwrap is the cause.
func (f Fault) Unwrap() error { return f.Err }

// Faults is a list of faults as one error.
type Faults []Fault

func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

// Short cuts a value to what a message can show: 60 bytes on one line.
func Short(s string) string {
	if len(s) > 60 {
		s = strings.ToValidUTF8(s[:57], "") + "..."
	}
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f {
			return ' '
		}
		return r
	}, s)
}

// FieldFault turns the error of parsing one field into a fault.
func FieldFault(field, value string, code Code, err error) Fault {
	f := Fault{Code: code, Field: field, Value: Short(value), Err: err}
	var unknown *UnknownWordError
	if errors.As(err, &unknown) {
		f.Code, f.Near, f.Want = UnknownWord, unknown.Nearest, strings.Join(unknown.Known, ", ")
	}
	return f
}

func quote(s string) string { return strconv.Quote(s) }

func outOfRange(field string, value float64, want string) Fault {
	return Fault{Code: OutOfRange, Field: field, Value: strconv.FormatFloat(value, 'g', -1, 64), Want: want}
}

// HasCode says whether err is, or wraps, a fault with this code.
func HasCode(err error, code Code) bool {
	var f Fault
	return errors.As(err, &f) && f.Code == code
}
