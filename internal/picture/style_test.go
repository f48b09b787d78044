package picture

import (
	"math"
	"strconv"
	"testing"

	"aplomb/internal/numtest"
)

// luminance and contrast are those of WCAG 2.2, "relative luminance" and
// "contrast ratio".
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatal(err)
		}
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// TestContrast: what carries meaning stands out from the sheet by 3 to 1 (WCAG
// 2.2, 1.4.11), in the light scheme and the dark.
func TestContrast(t *testing.T) {
	numtest.Close(t, "black on white", contrast(t, "#000000", "#ffffff"), 21, 1e-12)
	for _, c := range []ink{inkNear, inkFar, inkPlumb, inkHelper} {
		light, dark := contrast(t, c.light, inkSheet.light), contrast(t, c.dark, inkSheet.dark)
		if light < 3 || dark < 3 {
			t.Errorf("%s: %.2f light, %.2f dark", c.variable, light, dark)
		}
	}
}
