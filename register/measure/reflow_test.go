package measure

import "testing"

// A paragraph is set as one, a list keeps its columns, and what fits stays as it is.
func TestReflow(t *testing.T) {
	const list = "  --all   everything that\n          is known\n  a line alone\n\n"
	for _, c := range []struct{ text, want string }{
		{"short\nlines\n", "short\nlines\n"},
		{"a paragraph whose lines are\ntoo long\n\nand another", "a paragraph whose\nlines are too long\n\nand another"},
		{list + "a paragraph that is too long", "  --all   everything\n          that is\n          known\n  a line alone\n\na paragraph that is\ntoo long"},
	} {
		if got := Reflow(c.text, 20); got != c.want {
			t.Errorf("%q\nis set as\n%s\nnot\n%s", c.text, got, c.want)
		}
	}
}
