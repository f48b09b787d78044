package words

import "testing"

func testBook() *Book {
	return &Book{lines: map[string]string{
		"and": "and", "plain": "Good morning.", "named": "{who} holds {seconds} s.",
		"forms": "{n} {n|try|tries}", "open": "a {brace", "one": "{n|try}",
	}}
}

func TestSay(t *testing.T) {
	b := testBook()
	for _, c := range []struct{ got, want string }{
		{b.Say("plain"), "Good morning."},
		{b.Say("named", "who", "Ada", "seconds", 2.55), "Ada holds 2.6 s."},
		{b.Say("named", "seconds", 3.0, "who", "{seconds}"), "{seconds} holds 3 s."},
		{b.Say("forms", "n", 1), "1 try"},
		{b.Say("forms", "n", 0), "0 tries"},
		{b.List(nil), ""}, {b.List([]string{"a"}), "a"}, {b.List([]string{"a", "b"}), "a and b"}, {b.List([]string{"a", "b", "c"}), "a, b and c"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
	if !b.Has("plain") || b.Has("nothing") {
		t.Error("Has")
	}
}

// What the program gets wrong is a panic, never half a sentence.
func TestSayPanics(t *testing.T) {
	for name, say := range map[string]func(*Book){
		"an unknown id":    func(b *Book) { b.Say("nothing") },
		"a missing value":  func(b *Book) { b.Say("named", "who", "Ada") },
		"an open brace":    func(b *Book) { b.Say("open") },
		"one form for two": func(b *Book) { b.Say("one", "n", 1) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			say(testBook())
		}()
	}
}

func TestNumbers(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Number(2), "2"}, {Number(2.25), "2.3"}, {Number(-0.5), "-0.5"}, {Number(1e6), "1000000"},
		{Percent(0), "0%"}, {Percent(0.004), "under 1%"}, {Percent(0.5), "50%"}, {Percent(0.996), "over 99%"}, {Percent(1), "100%"},
	} {
		if c.got != c.want {
			t.Errorf("got %q, want %q", c.got, c.want)
		}
	}
}
