package audit

import (
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/pattern"
)

// A signature that this program made names the head and the description that it rests
// on (Report.Words). Whoever has the book can type those words again, later or in
// another book: they are compared with the register, and cover what they rest on.

// rests is what a signature rests on, as the register has it.
type rests struct {
	head int64        // the last entry it covers; 0 where the words name none
	day  calendar.Day // of that entry
	fits bool         // what it names is in the register; true where it names nothing
}

var headNamed = pattern.Late(`; head (\d+) ([0-9a-f]{16})(?:; box ([0-9a-f]{16}))?`)

// restsOn compares the words of a signature with a register.
func restsOn(r *register.Reader, ev *block.Event) rests {
	m := headNamed().FindStringSubmatch(ev.Text)
	if m == nil {
		return rests{fits: true}
	}
	head, err := strconv.ParseInt(m[1], 10, 64)
	if err != nil || head >= ev.Seq {
		return rests{}
	}
	rows, err := r.Store().Range(head, head)
	if err != nil || len(rows) == 0 || !strings.HasPrefix(rows[0].Hash.String(), m[2]) || !wasDescribed(r, head, m[3]) {
		return rests{}
	}
	out := rests{head: head, day: rows[0].Day, fits: true}
	if brought := r.Described(ev.Seq - 1).Entry; head == ev.Seq-1 || head == ev.Seq-2 && brought == ev.Seq-1 { // nothing came between
		out.head = ev.Seq
	}
	return out
}

// wasDescribed says whether the box was described so in some entry up to a head.
func wasDescribed(r *register.Reader, head int64, digest string) bool {
	for digest != "" {
		d := r.Described(head)
		if strings.HasPrefix(d.Digest, digest) {
			return true
		}
		if d.Entry == 0 {
			return false
		}
		head = d.Entry - 1
	}
	return true
}
