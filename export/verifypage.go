package export

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/calendar"
	"fairhand/register/store"
)

// ErrNoHead is the error of a file that names no entry of a register as the exports of a
// day do.
var ErrNoHead = errors.New("no day exported by this program: it does not name the last entry of the register and its hash")

// ErrDiffers is the error of a page that is not what the register gives.
var ErrDiffers = errors.New("is not proved: it is not what the register gives")

// FiledPage is a day that was exported in another form than JSON. Such a form does not
// hold all that it rests on, so that it is compared with the one made anew of the register,
// byte by byte.
type FiledPage struct {
	path  string
	bytes []byte
	forms []*Format // that it may be of

	first, head int64            // lowest and highest entry that it names
	hashes      map[int64]string // that it names them with
}

// heads are the ways in which a form names entries: at its foot and, of the day alone,
// in the records of CSV.
var heads = regexp.MustCompile(`(?:Last entry(?: of the day)?: |Register read up to entry )(\d+),\s+([0-9a-f]{64})|(?m:^foot,(\d+),.*,([0-9a-f]{64}),)|(?m:^entry,(\d+),)`)

// ReadPage reads a day exported in any form but JSON. The error is that of the file, or
// ErrNoHead.
func ReadPage(path string) (*FiledPage, error) {
	content, err := bounded.File(path, bounded.Export)
	if err != nil {
		return nil, err
	}
	f := &FiledPage{path: path, bytes: content, hashes: map[int64]string{}}
	mark := ""
	for i := range formats {
		if x := &formats[i]; bytes.HasPrefix(content, []byte(x.begins)) && x.Name != "json" && len(x.begins) >= len(mark) {
			if len(x.begins) > len(mark) {
				mark, f.forms = x.begins, nil
			}
			f.forms = append(f.forms, x)
		}
	}
	for _, m := range heads.FindAllStringSubmatch(textOf(content), -1) {
		seq, err := strconv.ParseInt(m[1]+m[3]+m[5], 10, 64)
		if err != nil || seq < 1 {
			continue
		}
		if f.first == 0 || seq < f.first {
			f.first = seq
		}
		f.head = max(f.head, seq)
		if hash := m[2] + m[4]; hash != "" {
			f.hashes[seq] = hash
		}
	}
	if f.hashes[f.head] == "" {
		return nil, fmt.Errorf("%s is %w", path, ErrNoHead)
	}
	return f, nil
}

// textOf is the text of a file: of a spreadsheet that of its parts.
func textOf(content []byte) string {
	parts, err := zip.NewReader(bytes.NewReader(content), int64(len(content)))
	if err != nil {
		return string(content)
	}
	var out bytes.Buffer
	for _, part := range parts.File {
		if r, err := part.Open(); err == nil {
			_, _ = io.Copy(&out, io.LimitReader(r, bounded.Export/16-int64(out.Len()))) // of one cut short no entry is named
			r.Close()
		}
	}
	return out.String()
}

// Compare says in some lines how the page agrees with the register; the error names the
// first place where it does not, or what kept it from being compared.
func (f *FiledPage) Compare(with Evidence) (string, error) {
	var date calendar.Day
	var wrong error
	err := with.Prove(f.head, func(r *store.Row) {
		if r.Seq == f.first {
			date = r.Day
		}
		if hash := f.hashes[r.Seq]; hash != "" && hash != r.Hash.String() && wrong == nil {
			wrong = fmt.Errorf("%s does not agree with the register: it names entry %d with the hash %s; the register has %s", f.path, r.Seq, hash, r.Hash)
		}
	})
	if err := errors.Join(err, wrong, with.sealsFit()); err != nil {
		return "", err
	}
	day, err := with.Day(date, f.head)
	if err != nil {
		return "", err
	}
	if len(day.Alarms) > 0 {
		return "", &AlarmError{day.Alarms}
	}
	var again []byte
	seals := []*register.DaySeal{nil} // first without: some forms carry none, and it may have been sealed since
	if day.Seal != nil {
		seals = append(seals, day.Seal)
	}
	for _, form := range f.forms {
		for _, carried := range seals {
			var buf bytes.Buffer
			day.Seal = carried
			if err := Write(&buf, form.Name, day); err != nil {
				return "", err
			}
			if bytes.Equal(buf.Bytes(), f.bytes) {
				sealed := "it carries no seal"
				if carried != nil {
					sealed = "it carries the seal that lies beside the register, which holds"
				}
				return fmt.Sprintf("%s: %s of %s as %s is, to the byte, what the register gives\nevery entry up to %d proved; the page made anew of them\n%s\n", f.path, date, with.Register.Meta().Box, form.Name, f.head, sealed), nil
			}
			if form == f.forms[0] {
				again = buf.Bytes()
			}
		}
	}
	return "", fmt.Errorf("%s %w: up to entry %d, %s as %s differs %s", f.path, ErrDiffers, f.head, date, f.forms[0].Name, firstDifference(f.forms[0], f.bytes, again))
}

// firstDifference says where two files of a form begin to differ: by line where it is text.
func firstDifference(form *Format, filed, again []byte) string {
	if form.Bytes {
		at := 0
		for at < min(len(filed), len(again)) && filed[at] == again[at] {
			at++
		}
		return fmt.Sprintf("from byte %d on", at+1)
	}
	a, b := strings.Split(string(filed), "\n"), strings.Split(string(again), "\n")
	n := 0
	for n < min(len(a), len(b))-1 && a[n] == b[n] {
		n++
	}
	const most = 160
	return fmt.Sprintf("from line %d on:\n  in the file      %.*q\n  of the register  %.*q", n+1, most, a[n], most, b[n])
}
