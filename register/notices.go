package register

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register/bounded"
)

// Special notice is what the railway has made known for some days: a speed, a line given
// up, a special train. It is no entry: it stands in a file beside the timetable, is shown
// while it binds, and is told to the relief.

// NoticesName is the file of the special notices: CSV, the first line from,until,notice,
// then one a line, from and until being dates (2026-05-05) or moments (2026-05-05 14:00)
// by the clock of the box; a day named as the end is the last, and either may be empty.
const NoticesName = "notices.csv"

var noticesHead = []string{"from", "until", "notice"}

// Notice is a special notice.
type Notice struct {
	Text        string
	From, Until block.Time // 0: since ever, and until it is taken out
	Words       string     // when it binds, as the file has it; "" for always
}

// Binds says whether it binds at some time from one moment to another.
func (n *Notice) Binds(from, to block.Time) bool {
	return n.From <= to && (n.Until == 0 || n.Until > from)
}

// NoticesStamp tells one state of the file of special notices from another, by its time and
// size; "" without the file. As long as it is the same, so are the notices.
func (r *Reader) NoticesStamp() string {
	info, err := os.Stat(r.pathBesideTimetable(NoticesName))
	if err != nil {
		return ""
	}
	return fmt.Sprint(info.ModTime().UnixNano(), " ", info.Size())
}

// Notices reads the special notices, in the order in which they begin to bind. A box
// without the file has none.
func (r *Reader) Notices() ([]Notice, error) {
	f, err := r.besideTimetable(NoticesName)
	if err != nil {
		return nil, fmt.Errorf("the special notices: %w", err)
	}
	if f == nil {
		return nil, nil
	}
	defer f.Close()
	list, err := readNotices(f, r.Location())
	if err != nil {
		return nil, fmt.Errorf("the special notices, %s: %w", NoticesName, err)
	}
	return list, nil
}

func readNotices(src io.Reader, zone *time.Location) ([]Notice, error) {
	in := csv.NewReader(bounded.Of(src, bounded.Line, bounded.Timetable))
	in.TrimLeadingSpace = true
	head, err := in.Read()
	if err != nil || !slices.Equal(head, noticesHead) {
		return nil, fmt.Errorf("line 1: they begin with the line %s", strings.Join(noticesHead, ","))
	}
	var list []Notice
	for {
		rec, err := in.Read()
		if errors.Is(err, io.EOF) {
			slices.SortStableFunc(list, func(a, b Notice) int { return int(a.From - b.From) })
			return list, nil
		}
		if err != nil {
			return nil, err // names the line itself
		}
		n := Notice{Text: strings.TrimSpace(rec[2])}
		from, errFrom := noticeTime(rec[0], zone, 0)
		until, errUntil := noticeTime(rec[1], zone, 1)
		if err := errors.Join(errFrom, errUntil); err != nil || n.Text == "" || until != 0 && until <= from {
			line, _ := in.FieldPos(0)
			if err == nil {
				err = errors.New("a notice has words, and ends after it begins")
			}
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
		n.From, n.Until = from, until
		for i, word := range noticesHead[:2] {
			if rec[i] != "" {
				n.Words = strings.TrimSpace(n.Words + " " + word + " " + rec[i])
			}
		}
		list = append(list, n)
	}
}

// noticeTime is a moment, or the midnight of so many days after a date; 0 for nothing.
func noticeTime(text string, zone *time.Location, days int) (block.Time, error) {
	if text == "" {
		return 0, nil
	}
	if at, err := time.ParseInLocation("2006-01-02 15:04", text, zone); err == nil {
		return block.Time(at.Unix()), nil
	}
	day, err := time.ParseInLocation(time.DateOnly, text, zone)
	if err != nil {
		return 0, fmt.Errorf("%q is no date; write 2026-05-05, or 2026-05-05 14:00", text)
	}
	return block.Time(day.AddDate(0, 0, days).Unix()), nil
}

// turnAhead is how far ahead the relief is told of notices: a turn of duty, and more.
const turnAhead = 12 * 60 * block.Minute

// noticeItems are the special notices that the relief is told; nil where the box has none.
func (b *Book) noticeItems() (out items) {
	list, err := b.Notices()
	if err != nil {
		out.tell(0, "not known: %v", err)
	}
	for i := range list {
		if n := &list[i]; n.Binds(b.Now(), b.Now()+turnAhead) {
			out.tell(0, "%s", strings.TrimSuffix(n.Text+", "+n.Words, ", "))
		}
	}
	return out
}
