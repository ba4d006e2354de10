package register

import "strings"

// Caution is said on the first start, in the README and at the foot of every
// export: what a register is and what it is not.
const Caution = "A record and a reminder, never a protection. It proves nothing on the ground: instruments, " +
	"tokens, signals, the railway's own rule book and its authorised people decide."

// sheetColumns is the width for which text to be printed is wrapped.
const sheetColumns = 80

// CautionIn is the caution in lines of at most so many columns.
func CautionIn(columns int) string {
	var out strings.Builder
	used := 0
	for i, word := range strings.Fields(Caution) {
		switch {
		case i == 0:
		case used+1+len(word) > columns:
			out.WriteByte('\n')
			used = 0
		default:
			out.WriteByte(' ')
			used++
		}
		out.WriteString(word)
		used += len(word)
	}
	return out.String()
}
