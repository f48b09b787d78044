package practice

import (
	"fmt"
	"strings"
	"time"
	_ "time/tzdata" // the zones are the same on a machine that has none
)

// Instant is a point in time with the offset of the clock that was read: what
// an RFC 3339 text with an offset says, to the nanosecond, offset kept.
type Instant struct {
	UnixNano int64
	Offset   int16 // minutes east of UTC
}

// ParseInstant reads an RFC 3339 date and time with its offset (Z is 0).
// Years run from 1900 to 2200. An offset of -00:00 counts as 0.
func ParseInstant(s string) (Instant, error) {
	t, err := time.Parse(time.RFC3339Nano, s)
	if err != nil {
		return Instant{}, fmt.Errorf("practice: %w", err)
	}
	if s[13] != ':' || strings.Contains(s, ",") { // package time takes 7:30 and 00,5 as well
		return Instant{}, fmt.Errorf("practice: %q is not RFC 3339", Short(s))
	}
	if y := t.Year(); y < 1900 || y > 2200 {
		return Instant{}, fmt.Errorf("practice: the year %d is not between 1900 and 2200", y)
	}
	_, offset := t.Zone()
	if offset <= -24*3600 || offset >= 24*3600 {
		return Instant{}, fmt.Errorf("practice: an offset is less than a day")
	}
	return Instant{UnixNano: t.UnixNano(), Offset: int16(offset / 60)}, nil
}

// Time is the instant as a time.Time in its own offset.
func (i Instant) Time() time.Time {
	if i.Offset == 0 {
		return time.Unix(0, i.UnixNano).UTC()
	}
	return time.Unix(0, i.UnixNano).In(time.FixedZone("", int(i.Offset)*60))
}

// Before orders instants in time.
func (i Instant) Before(j Instant) bool { return i.UnixNano < j.UnixNano }

// Date is the calendar day the clock showed.
func (i Instant) Date() Date {
	return dayOf(floorDiv(i.UnixNano, 1e9) + int64(i.Offset)*60)
}

// String is RFC 3339 with the offset.
func (i Instant) String() string { return i.Time().Format(time.RFC3339Nano) }

// MarshalText is String; UnmarshalText is ParseInstant.
func (i Instant) MarshalText() ([]byte, error) { return []byte(i.String()), nil }

// UnmarshalText reads RFC 3339 with an offset.
func (i *Instant) UnmarshalText(b []byte) (err error) {
	*i, err = ParseInstant(string(b))
	return err
}

// Zone is a time zone by its IANA name; the zero Zone is UTC.
type Zone struct {
	name string
	loc  *time.Location
}

// ParseZone finds the zone with this IANA name.
func ParseZone(name string) (Zone, error) {
	if name == "" || name == "Local" {
		return Zone{}, fmt.Errorf("practice: a time zone is an IANA name such as Europe/London")
	}
	loc, err := time.LoadLocation(name)
	if err != nil {
		return Zone{}, fmt.Errorf("practice: %q is not a time zone: %w", name, err)
	}
	return Zone{name, loc}, nil
}

// Known says whether a zone was given.
func (z Zone) Known() bool { return z.loc != nil }

// Date is the calendar day of the instant in this zone.
func (z Zone) Date(i Instant) Date {
	if z.loc == nil {
		return dayOf(floorDiv(i.UnixNano, 1e9))
	}
	_, offset := time.Unix(0, i.UnixNano).In(z.loc).Zone()
	return dayOf(floorDiv(i.UnixNano, 1e9) + int64(offset))
}

// String is the IANA name.
func (z Zone) String() string {
	if z.loc == nil {
		return "UTC"
	}
	return z.name
}

// MarshalText is String; UnmarshalText is ParseZone.
func (z Zone) MarshalText() ([]byte, error) { return []byte(z.String()), nil }

// UnmarshalText reads an IANA zone name.
func (z *Zone) UnmarshalText(b []byte) (err error) {
	*z, err = ParseZone(string(b))
	return err
}

// Noon is twelve o'clock of a day in this zone.
func (z Zone) Noon(d Date) Instant {
	noon := d.Time().Add(12 * time.Hour)
	if z.loc != nil {
		noon = time.Date(noon.Year(), noon.Month(), noon.Day(), 12, 0, 0, 0, z.loc)
	}
	return z.At(noon)
}

// At is the time as a clock in this zone shows it.
func (z Zone) At(t time.Time) Instant {
	if z.loc == nil {
		return Instant{UnixNano: t.UnixNano()}
	}
	_, offset := t.In(z.loc).Zone()
	return Instant{UnixNano: t.UnixNano(), Offset: int16(offset / 60)}
}
