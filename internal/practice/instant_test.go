package practice

import (
	"encoding/json"
	"testing"
	"time"

	"pgregory.net/rapid"
)

func mustInstant(t testing.TB, s string) Instant {
	t.Helper()
	i, err := ParseInstant(s)
	if err != nil {
		t.Fatal(err)
	}
	return i
}

// The examples of RFC 3339, section 5.8, with what the RFC says of them. Its
// leap seconds are no instants here: Unix time has none.
func TestInstantRFC3339(t *testing.T) {
	if a := mustInstant(t, "1985-04-12T23:20:50.52Z"); a.UnixNano%1e9 != 520_000_000 || a.Offset != 0 {
		t.Errorf("%+v", a)
	}
	pst, utc := mustInstant(t, "1996-12-19T16:39:57-08:00"), mustInstant(t, "1996-12-20T00:39:57Z")
	if pst.UnixNano != utc.UnixNano || pst.Offset != -480 || pst == utc {
		t.Errorf("%+v is not %+v", pst, utc)
	}
	if a := mustInstant(t, "1937-01-01T12:00:27.87+00:20"); a.Offset != 20 || a.String() != "1937-01-01T12:00:27.87+00:20" {
		t.Errorf("%+v", a)
	}
	for _, leap := range []string{"1990-12-31T23:59:60Z", "1990-12-31T15:59:60-08:00"} {
		if i, err := ParseInstant(leap); err == nil {
			t.Errorf("%s is %v", leap, i)
		}
	}
}

func TestInstantKeepsItsOffset(t *testing.T) {
	for _, s := range []string{
		"2026-03-30T18:30:00+01:00", "2026-03-30T18:30:00Z", "2026-03-30T23:59:59.999999999-09:30",
		"2024-02-29T00:00:00+14:00", "2026-12-31T23:30:00-11:00", "1900-01-01T00:00:00Z", "2200-12-31T23:59:59+05:45",
	} {
		if i := mustInstant(t, s); i.String() != s || i.Date().String() != s[:10] {
			t.Errorf("%s became %s on %s", s, i, i.Date())
		}
	}
	if i := mustInstant(t, "2026-03-30T18:30:00-00:00"); i.String() != "2026-03-30T18:30:00Z" {
		t.Error(i)
	}
}

func TestNoInstant(t *testing.T) {
	for _, s := range []string{
		"", "2026-03-30", "2026-03-30T18:30:00", "2026-03-30 18:30:00Z", "2026-03-30T18:30Z", "2026-02-29T00:00:00Z",
		"2026-03-30T24:00:00Z", "2026-03-30T1:30:00Z", "2026-03-30T18:30:00,5Z", "2026-03-30T18:30:00+24:00",
		"2026-03-30T18:30:00+0100", "1899-12-31T23:59:59Z", "2201-01-01T00:00:00Z", "2026-13-01T00:00:00Z",
	} {
		if i, err := ParseInstant(s); err == nil {
			t.Errorf("%q is %v", s, i)
		}
	}
}

func TestInstantProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		i := Instant{UnixNano: rapid.Int64Range(-2_200_000_000e9, 7_200_000_000e9).Draw(t, "ns"),
			Offset: int16(rapid.IntRange(-1439, 1439).Draw(t, "offset"))}
		j, err := ParseInstant(i.String())
		if err != nil || i != j {
			t.Fatal(i, j, err)
		}
		shown := i.Time()
		if DateOf(shown.Date()) != i.Date() || shown.UnixNano() != i.UnixNano {
			t.Fatal(i, i.Date())
		}
		later := Instant{UnixNano: i.UnixNano + 1, Offset: -i.Offset}
		if !i.Before(later) || later.Before(i) || i.Before(i) {
			t.Fatal("order")
		}
	})
}

// The day in a zone follows the clocks of the place, not the offset in the
// text. The changes are those of the IANA time zone database: Europe/London
// goes forward on 2026-03-29 at 01:00 UTC and back on 2026-10-25 at 01:00 UTC;
// Pacific/Apia had no 2011-12-30.
func TestZoneDateAcrossClockChanges(t *testing.T) {
	for _, c := range []struct{ zone, at, day string }{
		{"Europe/London", "2026-03-28T23:30:00Z", "2026-03-28"},
		{"Europe/London", "2026-03-29T22:59:00Z", "2026-03-29"},
		{"Europe/London", "2026-03-29T23:00:00Z", "2026-03-30"},
		{"Europe/London", "2026-10-24T23:00:00Z", "2026-10-25"},
		{"Europe/London", "2026-10-25T23:30:00Z", "2026-10-25"},
		{"Europe/London", "2026-03-30T08:30:00+09:00", "2026-03-30"}, // the text's offset does not matter
		{"Pacific/Apia", "2011-12-30T09:59:59Z", "2011-12-29"},
		{"Pacific/Apia", "2011-12-30T10:00:00Z", "2011-12-31"},
		{"Asia/Kathmandu", "2026-01-01T18:15:00Z", "2026-01-02"},
		{"America/St_Johns", "2025-12-31T03:29:00Z", "2025-12-30"},
	} {
		zone, err := ParseZone(c.zone)
		if err != nil {
			t.Fatal(err)
		}
		if day := zone.Date(mustInstant(t, c.at)); day.String() != c.day {
			t.Errorf("%s in %s is %s, want %s", c.at, c.zone, day, c.day)
		}
	}
	if day := (Zone{}).Date(mustInstant(t, "2026-03-30T23:30:00-05:00")); day.String() != "2026-03-31" {
		t.Errorf("the zero zone is not UTC: %s", day)
	}
}

// Whatever the zone, its days agree with package time.
func TestZoneDateProperty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom([]string{"Europe/London", "America/New_York", "Australia/Lord_Howe", "Pacific/Apia", "UTC"}).Draw(t, "zone")
		zone, err := ParseZone(name)
		loc, err2 := time.LoadLocation(name)
		if err != nil || err2 != nil {
			t.Fatal(err, err2)
		}
		i := Instant{UnixNano: rapid.Int64Range(0, 2_000_000_000e9).Draw(t, "ns")}
		if got, want := zone.Date(i).String(), time.Unix(0, i.UnixNano).In(loc).Format(time.DateOnly); got != want {
			t.Fatalf("%v in %s: %s, want %s", i, name, got, want)
		}
	})
}

func TestZones(t *testing.T) {
	for _, name := range []string{"", "Local", "Europe/Nowhere", "../etc/passwd", "+01:00"} {
		if z, err := ParseZone(name); err == nil || z.Known() {
			t.Errorf("%q is a zone", name)
		}
	}
	if z := (Zone{}); z.Known() || z.String() != "UTC" {
		t.Error(z)
	}
	var v struct {
		Z Zone    `json:"z"`
		I Instant `json:"i"`
	}
	const text = `{"z":"Europe/London","i":"2026-03-30T18:30:00+01:00"}`
	if err := json.Unmarshal([]byte(text), &v); err != nil {
		t.Fatal(err)
	}
	if raw, err := json.Marshal(v); err != nil || string(raw) != text {
		t.Error(string(raw), err)
	}
}

// Noon is noon on both sides of the date line, in summer and in winter.
func TestNoon(t *testing.T) {
	for _, name := range []string{"Pacific/Kiritimati", "Pacific/Pago_Pago", "Europe/London", "Asia/Kathmandu"} {
		z, err := ParseZone(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, day := range []Date{DateOf(2026, 1, 15), DateOf(2026, 7, 15)} {
			i := z.Noon(day)
			if local := i.Time().UTC().Add(time.Duration(i.Offset) * time.Minute); z.Date(i) != day || local.Hour() != 12 || local.Minute() != 0 {
				t.Errorf("%s, %s: %s", name, day, local)
			}
		}
	}
	if i := (Zone{}).Noon(DateOf(2026, 1, 15)); i.Time().UTC().Hour() != 12 {
		t.Error(i)
	}
}
