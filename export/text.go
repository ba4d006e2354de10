package export

import (
	"bufio"
	"fmt"
	"io"

	"fairhand/register/sheet"
)

// writeText writes a document in columns of type.
func writeText(w io.Writer, doc *sheet.Document) error {
	out := bufio.NewWriter(w)
	for _, l := range doc.Plain(sheet.PlainWidth) {
		fmt.Fprintln(out, l.Text)
	}
	return out.Flush()
}
