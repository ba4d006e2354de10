package boxfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"strconv"
	"strings"
	"time"
	_ "time/tzdata" // the zone in a box file must be known on every computer

	"go.yaml.in/yaml/v3"

	"fairhand/block"
	"fairhand/register/bounded"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/pattern"
)

// File is a box file that has been read without a fault.
type File struct {
	Box       *block.Box     // prepared
	Location  *time.Location // of the box's clock; UTC when the file gives none
	Timetable string         // file name as written, relative to the box file's directory; "" for none
	Path      string         // as given to Load; the name given to Decode
	Text      string         // word for word
}

// maxSize is more than any box needs and little enough to read at once.
const maxSize = 256 << 10

// Load reads the box file at path. A missing file keeps fs.ErrNotExist.
func Load(path string) (*File, error) {
	f, err := bounded.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, fmt.Errorf("box description: %w; `fairhand init DIR` makes one", err)
	}
	if err != nil {
		return nil, fmt.Errorf("box description: %w", err)
	}
	defer f.Close()
	return Decode(f, path)
}

// Decode reads a box file. The name stands in errors. All faults of a file come
// together in a *Faults; any other error is a failure of reading r.
func Decode(r io.Reader, name string) (*File, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxSize+1))
	if err != nil {
		return nil, fmt.Errorf("reading %s: %w", name, err)
	}
	d := &decoder{faults: Faults{Name: name}, known: Keys()}
	f := d.decode(text)
	if len(d.faults.List) > 0 {
		return nil, d.faults.sorted()
	}
	f.Path, f.Text = name, string(text)
	return f, nil
}

// decode is Decode once the text is there; what it returns counts only when no
// fault was found.
func (d *decoder) decode(text []byte) *File {
	if len(text) > maxSize {
		d.fault(&yaml.Node{}, "the file is larger than 256 KB, which no box description is; check that it is the right file")
		return nil
	}
	root := d.parse(text)
	if root == nil {
		return nil
	}
	d.plain(root)
	if len(d.faults.List) > 0 {
		return nil
	}
	f := &draft{zone: time.UTC, box: block.Box{ClockCheck: -1}}
	at := topGroup.fill(d, root, f)
	if n := at["sections"]; n != nil && n.Kind == yaml.SequenceNode && len(n.Content) == 0 {
		d.fault(n, "sections: a box has at least one section")
	}
	d.check(f)
	if len(d.faults.List) > 0 {
		return nil
	}
	file := f.file()
	if err := file.Box.Prepare(); err != nil {
		d.unplaced(err)
	}
	return file
}

// file makes the box of a draft without faults.
func (f *draft) file() *File {
	b := f.box
	b.Limits = b.Rules.Limits
	for i, own := range f.limits {
		if own.Source != "" {
			b.Limits[i] = own
		}
	}
	if b.Rounding == "" {
		b.Rounding = calendar.NearestMinute
		if b.Rules.RoundUp {
			b.Rounding = calendar.RoundUp
		}
	}
	for _, l := range f.sections {
		s := l.v.Section
		s.Lines = each.Of(l.v.lines, func(line located[lineDraft]) block.Line { return line.v.Line })
		b.Sections = append(b.Sections, s)
	}
	for _, l := range f.places {
		p := l.v.Place
		p.BeyondHome, p.Fouls = values(l.v.beyond), values(l.v.fouls)
		b.Places = append(b.Places, p)
	}
	for _, l := range f.crossings {
		c := l.v.Crossing
		c.From, c.BeyondHome = values(l.v.from), values(l.v.beyond)
		b.Crossings = append(b.Crossings, c)
	}
	for _, l := range f.codes {
		b.Codes = append(b.Codes, l.v.CodeRow)
	}
	b.Signals, b.Gear, b.People = values(f.signals), values(f.gear), values(f.people)
	b.Civil = civil(f.zone)
	return &File{Box: &b, Location: f.zone, Timetable: f.timetable}
}

// unplaced takes the errors of Prepare that check did not foresee.
func (d *decoder) unplaced(err error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range many.Unwrap() {
			d.unplaced(e)
		}
		return
	}
	d.fault(&yaml.Node{}, "%v", err)
}

// parse makes the one document's tree of nodes; nil when there is none.
func (d *decoder) parse(text []byte) *yaml.Node {
	dec := yaml.NewDecoder(bytes.NewReader(text))
	var doc, more yaml.Node
	err := dec.Decode(&doc)
	switch {
	case errors.Is(err, io.EOF):
		d.fault(&yaml.Node{}, "the file is empty; `fairhand init DIR` makes one to start from")
		return nil
	case err != nil:
		d.syntax(err, text)
		return nil
	}
	if err := dec.Decode(&more); err == nil {
		d.fault(&more, "a second document begins here; a file describes one box")
		return nil
	} else if !errors.Is(err, io.EOF) {
		d.syntax(err, text)
		return nil
	}
	return doc.Content[0]
}

var (
	syntaxLine = pattern.Late(`^line (\d+): (.*)$`)
	// parserSays are the library's faults of structure, for which it counts
	// lines from 0 and often gives the line where the part began.
	parserSays = pattern.Late(`^did not find expected (',' or|key|'-' indicator|node content|<document start>)`)
)

// syntax takes an error of the YAML library, with its line when it has one.
func (d *decoder) syntax(err error, text []byte) {
	said, at := strings.TrimPrefix(err.Error(), "yaml: "), &yaml.Node{}
	if m := syntaxLine().FindStringSubmatch(said); m != nil {
		at.Line, _ = strconv.Atoi(m[1])
		said = m[2]
	}
	where := ""
	if parserSays().MatchString(said) {
		at.Line++
		where = " here or further down"
	}
	hint := "check the indentation, and quote a text that contains a colon or begins with a sign"
	if i := tabIndent().FindIndex(text); i != nil {
		at.Line = 1 + bytes.Count(text[:i[0]], []byte("\n"))
		hint = "indent with spaces, never tabs"
	}
	d.fault(at, "not well-formed YAML%s: %s; %s", where, said, hint)
}

// tabIndent is a line indented with a tab.
var tabIndent = pattern.Late(`(?m)^ *\t[ \t]*[^ \t\r\n#]`)

// plain refuses what would make the file say something elsewhere than where it
// is read.
func (d *decoder) plain(n *yaml.Node) {
	switch {
	case n.Kind == yaml.AliasNode:
		d.fault(n, "*%s: references are not used in a box file; write the value out", n.Value)
	case n.Anchor != "":
		d.fault(n, "&%s: anchors are not used in a box file; take it away", n.Anchor)
	case n.Style&yaml.TaggedStyle != 0:
		d.fault(n, "%s: tags are not used in a box file; take it away", n.Tag)
	}
	for _, c := range n.Content {
		d.plain(c)
	}
}
