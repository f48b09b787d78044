package cli

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"aplomb/internal/words"
)

// TestEveryCodeHasItsSentence reads the codes out of the source, so a new one
// cannot be forgotten: it would panic where a person reads it.
func TestEveryCodeHasItsSentence(t *testing.T) {
	for _, c := range []struct {
		room, typ, prefix string
		leave             string // codes that are never said
	}{
		{"load", "PainReason", "pain.", ""},
		{"load", "StepReason", "ceiling.", ""},
		{"load", "Verdict", "review.pain.", "go"},
		{"planning", "RefusalCode", "refused.", ""},
		{"planning", "EmptyCode", "week.empty.", ""},
		{"planning", "ShareCode", "week.", "usual"},
		{"week", "Reason", "fill.", "filled"},
		{"practice", "BlockKind", "block.", ""},
		{"practice", "Strain", "strain.", ""},
		{"practice", "Support", "support.", ""},
		{"practice", "CueKind", "cue.", ""},
	} {
		codes := constants(t, c.room, c.typ)
		if len(codes) == 0 && c.typ != "CueKind" {
			t.Errorf("no %s found in %s: the test is blind", c.typ, c.room)
		}
		for _, code := range codes {
			if code != "" && code != c.leave && !words.English.Has(c.prefix+code) {
				t.Errorf("%s.%s %q has no sentence %q", c.room, c.typ, code, c.prefix+code)
			}
		}
	}
}

// constants are the values of the string constants of one type.
func constants(t *testing.T, room, typ string) (values []string) {
	t.Helper()
	files, err := filepath.Glob(filepath.Join("..", room, "*.go"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range files {
		if strings.HasSuffix(path, "_test.go") {
			continue
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			spec, ok := n.(*ast.ValueSpec)
			if !ok {
				return true
			}
			if id, ok := spec.Type.(*ast.Ident); ok && id.Name == typ && len(spec.Values) == 1 {
				if lit, ok := spec.Values[0].(*ast.BasicLit); ok {
					v, _ := strconv.Unquote(lit.Value)
					values = append(values, v)
				}
			}
			return true
		})
	}
	return values
}

// TestEveryRuleHasItsWords: the groups of rules a conflict or a thin week names.
func TestEveryRuleHasItsWords(t *testing.T) {
	for _, rule := range ruleNames(t) {
		if !words.English.Has("demand." + rule) {
			t.Errorf("no words for the rule %q", rule)
		}
	}
}

// ruleNames are the untyped string constants of week/conflict.go.
func ruleNames(t *testing.T) (names []string) {
	t.Helper()
	file, err := parser.ParseFile(token.NewFileSet(), filepath.Join("..", "week", "conflict.go"), nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || len(spec.Values) != 1 {
			return true
		}
		if lit, ok := spec.Values[0].(*ast.BasicLit); ok && lit.Kind == token.STRING {
			v, _ := strconv.Unquote(lit.Value)
			names = append(names, v)
		}
		return true
	})
	if len(names) < 10 {
		t.Fatalf("only %v found: the test is blind", names)
	}
	return names
}
