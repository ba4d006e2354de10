package export

import (
	"fmt"
	"strings"

	"fairhand/register/measure"
)

// CSVHelp is the reference of what is written as CSV, in 80 columns.
func CSVHelp() string {
	var b strings.Builder
	b.WriteString(csvHelp)
	for _, c := range entryColumns {
		for i, l := range measure.Wrap(c.says, 80-18, 80-18) {
			fmt.Fprintf(&b, "  %-15s %s\n", map[bool]string{true: c.name}[i == 0], l)
		}
	}
	return b.String()
}

const csvHelp = `CSV is RFC 4180 in UTF-8: a comma between the fields, one heading record, lines that
end with CR and LF. The first field of each other record says what it is. Columns
may be added at the end; none goes or changes its meaning.

There are two forms of it:

  csv        guarded. A text that a spreadsheet would take for a formula (it begins
             with = + - @ or a control character), for a number (0153, 1E45) or for a
             date begins with an apostrophe; so does a text that begins with one
             itself. A program gets the text back by taking one apostrophe away.
             Bell codes of a day are spelled: 3 pause 1
  csv-plain  as it is in the register, for programs alone: 1E45, 3-1. Do not open it
             in a spreadsheet: what somebody wrote into a remark may be run there

Of findings and audit: a record "row" for each finding (rule, severity, entry, date,
time, turn: who was on duty, section, line, train, text, expected, remarks: what
explains it, rests: entries, reference, root: entry it follows from, answered: entry
since which it stands no more, at: RFC 3339). Of a comparison: boxes, at, severity,
rule, train, text, expected, the entry and the time in the first book and in the
second, reference. The last record is "foot", with the caution.

Of a day (fairhand export): a record "entry" for each entry in the order of writing; a
"handover" for each thing on a handover sheet (entry it rests on, at the moment of the
sheet, writer who went off duty, place the relief, kind what became of it,
explained_by the entry that says so, subject the name it is taken over by, text its
part and words); and one "foot" at the end with the number and hash of the last entry
of the register under entry and hash and the caution under text. The columns:

`
