package folder

import (
	"math"
	"strconv"
	"strings"

	"aplomb/internal/practice"
)

// parseNumber reads digits with an optional sign and decimal point: 12, -3,
// 7.5.
func parseNumber(field, cell string) (float64, *practice.Fault) {
	v, err := strconv.ParseFloat(cell, 64)
	if err == nil && plainNumber(cell) && !math.IsInf(v, 0) {
		return v, nil
	}
	f := practice.Fault{Code: practice.BadNumber, Field: field, Value: practice.Short(cell), Err: err}
	if point, ok := pointForComma(cell); ok {
		f.Code, f.Want = practice.DecimalComma, point
	}
	return 0, &f
}

// parseCount reads a whole number.
func parseCount(field, cell string) (int, *practice.Fault) {
	v, err := strconv.ParseInt(cell, 10, 32)
	if err == nil {
		return int(v), nil
	}
	if _, f := parseNumber(field, cell); f != nil {
		return 0, f
	}
	return 0, &practice.Fault{Code: practice.BadNumber, Field: field, Value: practice.Short(cell), Want: "a whole number", Err: err}
}

// plainNumber says whether s has nothing but a sign, digits and a point:
// strconv reads more, such as 0x1p4 or NaN.
func plainNumber(s string) bool {
	for i := range len(s) {
		if c := s[i]; (c < '0' || c > '9') && c != '.' && c != '-' && c != '+' {
			return false
		}
	}
	return true
}

// pointForComma is the number with a point where its one comma stood.
func pointForComma(s string) (string, bool) {
	point := strings.Replace(s, ",", ".", 1)
	if point == s || !plainNumber(point) {
		return "", false
	}
	_, err := strconv.ParseFloat(point, 64)
	return practice.Short(point), err == nil
}

func formatNumber(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
