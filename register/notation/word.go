package notation

import (
	"strings"
	"unicode"
)

// Word writes a name so that it is one field of a line: with spaces or signs it is
// quoted as in the notation, and - stands for none.
func Word(name string) string {
	if name == "" {
		return "-"
	}
	bare := name != "-" && !strings.ContainsFunc(name, func(r rune) bool {
		return unicode.IsSpace(r) || r == '"' || r == '\\' || r == '#' || r == ';'
	})
	if bare {
		return name
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`, "\n", `\n`).Replace(name) + `"`
}
