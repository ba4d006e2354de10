package measure

import "strings"

// Reflow sets a text anew in lines of at most so many cells: a paragraph at the margin
// as one, and a line set in together with those below that begin where its last column
// does. Lines that fit and stand alone stay as they are, and so does a text that fits.
func Reflow(text string, cells int) string {
	lines := strings.Split(text, "\n")
	if Widest(lines...) <= cells {
		return text
	}
	var out []string
	for i := 0; i < len(lines); {
		l, hang := lines[i], column(lines[i])
		words := l[hang:]
		n := i + 1
		for n < len(lines) && l != "" && lines[n] != "" && indent(lines[n]) == hang && (hang == 0 || hang > indent(l)) {
			words += " " + lines[n][hang:]
			n++
		}
		for k, s := range Wrap(words, cells-hang, cells-hang) {
			if k > 0 {
				out = append(out, blanks(hang)+s)
			} else {
				out = append(out, l[:hang]+s)
			}
		}
		i = n
	}
	return strings.Join(out, "\n")
}

func indent(line string) int { return len(line) - len(strings.TrimLeft(line, " ")) }

// column is where the last of the columns of a line begins: behind two blanks.
func column(line string) int {
	if i := strings.LastIndex(line, "  "); i >= 0 {
		return i + 2
	}
	return 0
}
