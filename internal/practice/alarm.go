package practice

import (
	"fmt"
	"strings"
)

// Alarms are the signs in a session after which nobody loads the hands until
// the coach clears it.
type Alarms uint8

// The signs, each a bit.
const (
	StrongPain   Alarms = 1 << iota // over PainStop, at any time asked
	Numbness                        // numbness or tingling
	Swelling                        // swelling
	MorningPain                     // next morning over PainStop
	GrowingWrist                    // under 18: a wrist that hurts next morning
)

// PainStop is the pain over which no hand is loaded, 0 to 10; common practice,
// no source.
const PainStop = 5.0

// alarmWords are the words of the signs in files, in the order of their bits.
var alarmWords = []string{"pain", "numb", "swollen", "morning", "growing-wrist"}

// Alarms are the signs in the session of a student who is, or is not, under
// age.
func (s Session) Alarms(minor bool) (a Alarms) {
	for _, sign := range []struct {
		seen bool
		as   Alarms
	}{
		{s.PainBefore.Or(0) > PainStop || s.Pain.Or(0) > PainStop, StrongPain},
		{s.Numb.Or(false), Numbness},
		{s.Swollen.Or(false), Swelling},
		{s.PainMorning.Or(0) > PainStop, MorningPain},
		{minor && s.PainSite == "wrist" && s.PainMorning.Or(0) > 0, GrowingWrist},
	} {
		if sign.seen {
			a |= sign.as
		}
	}
	return a
}

// String is the words of the signs with a blank between them.
func (a Alarms) String() string {
	var words []string
	for i, w := range alarmWords {
		if a&(1<<i) != 0 {
			words = append(words, w)
		}
	}
	return strings.Join(words, " ")
}

// ParseAlarms reads what String writes.
func ParseAlarms(s string) (a Alarms, err error) {
	for w := range strings.FieldsSeq(s) {
		found := false
		for i, known := range alarmWords {
			if w == known {
				a |= 1 << i
				found = true
			}
		}
		if !found {
			return 0, unknownWord(w, alarmWords)
		}
	}
	if a.String() != s {
		return 0, fmt.Errorf("practice: signs are written as %q, not %q", a.String(), Short(s))
	}
	return a, nil
}
