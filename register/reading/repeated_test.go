package reading

import (
	"fmt"
	"strings"
	"testing"
)

// TestRepeated: a page that stands twice is found with its lines, wherever it begins; a few
// entries of one minute, a day that goes like the day before it, and a page with other times
// are none.
func TestRepeated(t *testing.T) {
	hour := func(h, from, to int) (out string) {
		for i := from; i < to; i++ {
			out += fmt.Sprintf("%02d:%02d Saltgarth <1 >1 <3-1 >3-1 train 2P%02d\n", h, 3*i, i)
		}
		return out
	}
	signals := func(to string) (out string) {
		for i := range 12 {
			out += fmt.Sprintf("08:%02d signal \"Down Home %d\" %s\n", i, i, to)
		}
		return out
	}
	tokens := func(from int) (out string) {
		for i := range 12 {
			out += fmt.Sprintf("08:%02d Saltgarth token %d out\n", i, from+i)
		}
		return out
	}
	const date = "date 2026-05-05\n"
	for _, c := range []struct{ name, book, want string }{
		{"a page twice", date + hour(8, 0, 12) + hour(8, 2, 12) + hour(9, 0, 12), "lines 14 to 23 say again, minute for minute, what stands from line 4"},
		{"with more between", date + hour(8, 0, 12) + hour(9, 0, 12) + hour(8, 0, 8), "lines 26 to 33 say again, minute for minute, what stands from line 2"},
		{"twice more", date + strings.Repeat(hour(8, 0, 10), 3), "lines 12 to 21 say again, minute for minute, what stands from line 2; lines 22 to 31 say again, minute for minute, what stands from line 12"},
		{"too little", date + hour(8, 0, 12) + hour(8, 0, 7), ""},
		{"another day", date + hour(8, 0, 12) + "date 2026-05-06\n" + hour(8, 0, 12), ""},
		{"other times", date + hour(8, 0, 12) + hour(9, 0, 12), ""},
		{"other entries of the same", date + signals("off") + signals("on"), ""},
		{"other numbers", date + tokens(1) + tokens(21), ""},
		{"the same numbers", date + tokens(1) + tokens(1), "lines 14 to 25 say again, minute for minute, what stands from line 2"},
		{"the same entries", date + signals("off") + signals("off"), "lines 14 to 25 say again, minute for minute, what stands from line 2"},
		{"one minute", date + strings.Repeat("08:00 note \"x\"\n", 30), ""},
		{"one entry again and again", date + hour(8, 0, 12) + strings.Repeat("08:30 note \"x\"\n", 30), ""},
	} {
		var got []string
		for _, r := range survey(t, c.book).Repeated {
			got = append(got, r.Again())
		}
		if s := strings.Join(got, "; "); s != c.want {
			t.Errorf("%s: %q, want %q", c.name, s, c.want)
		}
	}
}
