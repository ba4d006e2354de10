package export

import (
	"io"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/notation"
)

// writeNotation writes the day as a plain book. The entries are as first
// written, and corrections follow as entries, also those of later days, so that
// importing the book gives the day again. Numbers by which entries name others
// are those of this book, counted from 1; an entry about one that is not in it
// can have no number and stands as a comment. So do the handover sheets, at the end.
func writeNotation(w io.Writer, d *register.Day) error {
	out := []byte("# " + d.Title() + "\n")
	for _, l := range d.Document().Foot() {
		out = append(out, "# "+l+"\n"...)
	}
	entries := append(append([]register.Entry(nil), d.Entries...), d.Later...)
	number := map[int64]int64{}
	next := int64(1)
	nw := notation.NewWriter(d.Zone)
	for _, e := range entries {
		ev := *e.Written()
		if ev.Target != 0 {
			to, here := number[ev.Target]
			switch {
			case here:
				ev.Target = to
			case ev.Kind == block.MessageTo || ev.Kind == block.MessageFrom:
				ev.Target = 0
			default:
				out = append(out, "# about an entry of another day: "+e.Line+"\n"...)
				continue
			}
		}
		number[e.Seq] = next
		next++
		out = nw.Append(out, ev)
	}
	out = append(out, handoverComments(d)...)
	_, err := w.Write(out)
	return err
}
