package register

import (
	"strings"

	"fairhand/register/measure"
	"fairhand/register/sheet"
)

// Caution is said on the first start, in the README and at the foot of every
// export: what a register is and what it is not.
const Caution = sheet.Caution

// CautionIn is the caution in lines of at most so many columns.
func CautionIn(columns int) string {
	return strings.Join(measure.Wrap(Caution, columns, columns), "\n")
}
