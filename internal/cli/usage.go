package cli

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"github.com/alecthomas/kong"

	"aplomb/internal/assess"
	"aplomb/internal/holds"
	"aplomb/internal/practice"
	"aplomb/internal/words"
)

// number is a figure on the command line.
type number float64

// UnmarshalText reads a figure with a decimal point.
func (n *number) UnmarshalText(b []byte) error {
	v, err := strconv.ParseFloat(string(b), 64)
	if err != nil {
		return fmt.Errorf("%s", words.English.Say("misuse.number", "value", practice.Short(string(b))))
	}
	*n = number(v)
	return nil
}

// grouping is the --by of holds.
type grouping struct{ assess.By }

// UnmarshalText reads what to group by.
func (g *grouping) UnmarshalText(b []byte) (err error) {
	g.By, err = choice([]assess.By{assess.ByStudent, assess.ByMonth, assess.BySupport, assess.BySurface}, string(b))
	return err
}

// band is the --interval of holds.
type band struct{ holds.Band }

// UnmarshalText reads the scale of an interval.
func (k *band) UnmarshalText(b []byte) (err error) {
	k.Band, err = choice([]holds.Band{holds.Plain, holds.Log, holds.LogLog}, string(b))
	return err
}

func choice[T ~string](known []T, s string) (T, error) {
	w, err := practice.Word(known, s)
	if err != nil {
		return "", fmt.Errorf("%s", words.English.Say("misuse.choice", "value", practice.Short(s), "known", words.English.List(texts(known)), "near", practice.Nearest(s, texts(known))))
	}
	return w, nil
}

// What the parser says of a command line that makes no sense.
var (
	unknownOption = regexp.MustCompile(`^unknown flag (-\S+)`)
	noValue       = regexp.MustCompile(`^(--\S+): expected .* value but got`)
	missingName   = regexp.MustCompile(`^expected "<([^>]+)>`)
	tooMuch       = regexp.MustCompile(`^unexpected argument (\S*)`)
	noSwitch      = regexp.MustCompile(`^(--[^:]+): bool value must be`)
)

// plainly says what is wrong with a command line as a person would.
func plainly(b *words.Book, parser *kong.Kong, args []string, err error) error {
	text := strings.TrimSpace(err.Error())
	switch {
	case unknownOption.MatchString(text):
		option := unknownOption.FindStringSubmatch(text)[1]
		option = strings.TrimSuffix(option, ",")
		return fmt.Errorf("%s", b.Say("misuse.option", "option", option, "near", practice.Nearest(option, options(parser, args[0]))))
	case noValue.MatchString(text):
		return fmt.Errorf("%s", b.Say("misuse.value", "option", noValue.FindStringSubmatch(text)[1]))
	case noSwitch.MatchString(text):
		return fmt.Errorf("%s", b.Say("misuse.switch", "option", strings.SplitN(noSwitch.FindStringSubmatch(text)[1], "=", 2)[0]))
	case missingName.MatchString(text):
		return fmt.Errorf("%s", b.Say("misuse.missing", "name", strings.ToUpper(missingName.FindStringSubmatch(text)[1])))
	case tooMuch.MatchString(text) && known(parser, args[0]):
		return fmt.Errorf("%s", b.Say("misuse.toomuch", "value", strings.TrimSuffix(tooMuch.FindStringSubmatch(text)[1], ",")))
	case tooMuch.MatchString(text):
		return fmt.Errorf("%s", b.Say("misuse.command", "value", practice.Short(args[0]), "near", practice.Nearest(args[0], commandNames(parser))))
	}
	return err
}

func commandNames(parser *kong.Kong) (names []string) {
	for _, n := range parser.Model.Leaves(false) {
		names = append(names, n.Name)
	}
	return names
}

func known(parser *kong.Kong, command string) bool { return len(options(parser, command)) > 0 }

// options are the options of a command, help among them.
func options(parser *kong.Kong, command string) (names []string) {
	for _, n := range parser.Model.Leaves(false) {
		if n.Name != command {
			continue
		}
		names = append(names, "--help")
		for _, flag := range n.Flags {
			names = append(names, "--"+flag.Name)
		}
	}
	return names
}
