package picture

import "strings"

// ink is one colour of the look, light and dark, and the page's variable that
// may take its place.
type ink struct{ variable, light, dark string }

var (
	inkNear   = ink{"--ink", "#22272b", "#f7f4ee"}
	inkFar    = ink{"--figure-far", "#8a8981", "#7b8187"}
	inkPale   = ink{"--rule", "#ddd6c8", "#444b50"}
	inkSheet  = ink{"--paper", "#fffdf8", "#22272b"}
	inkPlumb  = ink{"--brass", "#b07d2b", "#d9a24c"}
	inkHelper = ink{"--figure-helper", "#5b9093", "#4d8389"}
)

// rule is how one class of marks is painted.
type rule struct {
	class        string
	fill, stroke *ink
	width        string
}

var rules = []rule{
	{"sheet", &inkSheet, nil, ""},
	{"near", nil, &inkNear, "6"},
	{"far", nil, &inkFar, "6"},
	{"trunk", nil, &inkNear, "14"},
	{"head", &inkSheet, &inkNear, "4"},
	{"floor", nil, &inkNear, "1"},
	{"solid", &inkPale, &inkNear, "1"},
	{"pad", &inkPale, nil, ""},
	{"plumb", nil, &inkPlumb, "1"},
	{"bob", &inkPlumb, nil, ""},
	{"arrow", nil, &inkPlumb, "2"},
	{"helper", nil, &inkHelper, "6"},
	{"helper-head", &inkSheet, &inkHelper, "4"},
}

// sheetOf is the style sheet of the classes that are used. A colour is written
// twice: plain for what reads no variables, then with the page's variable.
func sheetOf(used map[string]bool) string {
	var light, dark strings.Builder
	for _, r := range rules {
		if !used[r.class] {
			continue
		}
		light.WriteString(".figure ." + r.class + "{")
		dark.WriteString(".figure ." + r.class + "{")
		for _, p := range []struct {
			property string
			of       *ink
		}{{"fill", r.fill}, {"stroke", r.stroke}} {
			if p.of == nil {
				light.WriteString(p.property + ":none;")
				continue
			}
			light.WriteString(p.property + ":" + p.of.light + ";" + p.property + ":var(" + p.of.variable + "," + p.of.light + ");")
			dark.WriteString(p.property + ":var(" + p.of.variable + "," + p.of.dark + ");")
		}
		if r.width != "" {
			light.WriteString("stroke-width:" + r.width)
		}
		light.WriteString("}")
		dark.WriteString("}")
	}
	return ".figure path{stroke-linejoin:round;stroke-linecap:round}" + light.String() +
		"@media(prefers-color-scheme:dark){" + dark.String() + "}"
}
