package practice

// EntryKind is what an entry of a student's phone is.
type EntryKind string

// Kinds of entry.
const (
	TryEntry     EntryKind = "try"
	TallyEntry   EntryKind = "tally"
	SessionEntry EntryKind = "session"
	WordsEntry   EntryKind = "words"
	MarkEntry    EntryKind = "mark"
	DetourEntry  EntryKind = "detour"
)

// EntryKinds is the vocabulary of them.
var EntryKinds = []EntryKind{TryEntry, TallyEntry, SessionEntry, WordsEntry, MarkEntry, DetourEntry}

// Noun is what the entry is in the log.
func (k EntryKind) Noun() Noun {
	if k == TryEntry {
		return AttemptNoun
	}
	return Noun(k)
}

// Receipt is what the ledger keeps of one entry of a phone, also of one that
// was taken back: the highest count that arrived, so that the same one or an
// older one changes nothing.
type Receipt struct {
	ID      string // of the entry, and of its row in the log
	Student string
	Phone   string // the phone the entry belongs to for ever
	Kind    EntryKind
	N       int     // from 1; 0: none could be kept yet
	Gone    bool    // taken back
	At      Instant // by the phone's own clock, of the highest count
	Shift   int     // seconds from the phone's clock to ours, as first measured for this entry
	Alarms  Alarms  // every sign any count of it ever showed
}

// MaxCount is the most often an entry can have been edited.
const MaxCount = 1_000_000

// Check lists what is impossible in the receipt itself.
func (r Receipt) Check() (fs []Fault) {
	for _, id := range []struct{ field, value string }{{"id", r.ID}, {"student", r.Student}, {"phone", r.Phone}} {
		if !ValidID(id.value) {
			fs = append(fs, Fault{Code: BadID, Field: id.field, Value: Short(id.value)})
		}
	}
	if _, err := Word(EntryKinds, string(r.Kind)); err != nil {
		fs = append(fs, FieldFault("kind", string(r.Kind), UnknownWord, err))
	}
	if r.N < 0 || r.N > MaxCount {
		fs = append(fs, outOfRange("n", float64(r.N), "0 to 1000000"))
	}
	return fs
}

// Held is what is kept already where entries of a phone arrive.
type Held struct {
	Student  Kept[Student]
	Studio   Studio
	Consents []Consent
	Sealing  bool            // what is private can be kept: the key is here
	Weeks    map[string]bool // keys of the student's weeks as handed over, see [Week.Key]
	Receipts map[string]Receipt
	Drills   map[string]bool // ids of the studio's own drills
	// Here are the entries that have a row in the log.
	Here map[string]bool
	// Tries are the rows of the entries that are tries.
	Tries map[string]Attempt
	// Taken are ids that belong to a row of the log no phone of this student sent.
	Taken map[string]bool
}

// Batch is what is to be kept of what arrived, all of it or nothing.
type Batch struct {
	Receipts []Receipt
	Rows     Log // new ones, and ones that were edited; no probes, no weeks
	Gone     []GoneRow
	Stop     *Stop // to be added to the student
}

// GoneRow is a row of the log that was taken back.
type GoneRow struct {
	Noun Noun
	ID   string
}
