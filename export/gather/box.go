package gather

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"reflect"
	"sync"
	"time"

	"fairhand/block"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/each"
	"fairhand/register/store"
)

// gathering makes the parts of one box of one reading of its register.
type gathering struct {
	dir    string
	label  labels
	box    *block.Box
	lines  []block.BoxLine
	zone   *time.Location
	opened map[int]author // of the trains on hand
	m      *Manifest
	grow   growing
	days   *store.DayCheck // the index by day is asked when bells are laid side by side
	err    error           // the first

	tables []interface { // all five
		finish() ([]Part, error)
		abandon()
	}
	entries  table[entry]
	trains   table[train]
	findings table[finding]
	turns    table[turn]
	hours    table[hour]
}

// author is who wrote the entry that opened a train's row.
type author struct {
	entry  int64
	turn   int64
	person string
}

func (b *gathering) whose(year int) whose { return whose{b.label.railway, b.label.box, int32(year)} }

func (b *gathering) lineOf(l *block.Leg) (section, line *string) {
	section = &b.box.Sections[l.Section].Neighbour
	if l.Line >= 0 {
		line = &b.lines[l.Line].Line.Name
	}
	return section, line
}

// begin makes one of the tables of the box.
func begin[T any](b *gathering, t *table[T], name string) {
	*t = table[T]{dir: b.dir, name: name, label: b.label}
	b.tables = append(b.tables, t)
}

func newGathering(out string, s *source, r *register.Reader) *gathering {
	folder := export.PartitionOf(s.railway(), s.meta.Box)
	b := &gathering{
		dir: filepath.Join(out, folder), label: labels{s.railway(), s.meta.Box, r.Location().String()},
		box: r.Box(), lines: r.Box().Lines(), zone: r.Location(), opened: map[int]author{},
		m: &Manifest{
			Schema: Schema, Caution: caution, Program: program(), Railway: s.railway(), Box: s.meta.Box, Zone: r.Location().String(),
			RuleSet: r.Box().Rules.Name, Folder: filepath.ToSlash(folder), Source: s.path, Genesis: s.genesis.String(),
			Neighbours: each.Of(r.Box().Sections, func(s block.Section) string { return s.Neighbour }),
		},
	}
	begin(b, &b.entries, Entries)
	begin(b, &b.trains, Trains)
	begin(b, &b.findings, Findings)
	begin(b, &b.turns, Turns)
	begin(b, &b.hours, Occupation)
	return b
}

// program names what makes the parts: another one makes them anew. It is asked for each box
// and pair, and of one that is unchanged it would be half of the work.
var program = sync.OnceValue(func() string {
	return store.Digest(block.Fingerprint())[:16] + " " + cmp.Or(register.Build(), "unknown build")
})

// put writes a row, and keeps the first error of the tables.
func put[T interface{ year() int }](b *gathering, t *table[T], row T) {
	if keep, err := b.grow.takes(row.year()); err != nil || !keep {
		b.err = cmp.Or(b.err, err)
	} else if b.err == nil {
		b.err = t.put(row.year(), row)
	}
}

// each is what the audit hands over.
func (b *gathering) each(stop func()) audit.Each {
	return audit.Each{
		Entry: func(w *audit.Worked) {
			b.grow.reads(b, w)
			for _, t := range w.Trains {
				if t.Opened == w.Entry.Event.Seq {
					b.opened[t.ID] = author{t.Opened, w.Turn, w.Person}
				}
			}
			if w.ExaminedTo != 0 {
				b.m.Examined, b.m.ExaminedTo, b.m.ExaminedBy = w.Entry.Day.String(), w.Entry.Seq, w.Entry.Event.Subject
			}
			if b.days != nil {
				b.days.Add(&w.Entry.Row)
			}
			if put(b, &b.entries, entryRow(b, w)); b.err != nil {
				stop()
			}
		},
		Train: func(t *block.Train, onHand bool) {
			put(b, &b.trains, trainRow(b, t, onHand))
			delete(b.opened, t.ID)
		},
		Finding: func(turn int64, f *audit.Finding) { put(b, &b.findings, findingRow(b, turn, f)) },
		Turn:    func(id int64, t *audit.Turn) { put(b, &b.turns, turnRow(b, id, t)) },
		Hour:    func(l block.BoxLine, h audit.HourUsed) { put(b, &b.hours, hourRow(b, l, h)) },
	}
}

// gatherBox makes the parts of a box anew, and says of which entries: of its whole
// register, each entry of which is proved as it is read, or of what may come out
// otherwise than before. before is what was gathered before, nil for nothing.
func gatherBox(ctx context.Context, out string, s *source, before *Manifest, anew bool) (m *Manifest, from int64, err error) {
	r, err := s.open()
	if err != nil {
		return nil, 0, err
	}
	defer r.Close()
	if before != nil {
		if err := follows(s, r.Store(), before); err != nil {
			return nil, 0, err
		}
	}
	var g growing
	if !anew {
		g = before.grows(out, s)
	}
	b, err := gatherFrom(ctx, out, s, r, before, g)
	if errors.Is(err, errEarlier) {
		g = growing{}
		b, err = gatherFrom(ctx, out, s, r, before, g)
	}
	if err != nil {
		err = fmt.Errorf("%s: %w", s.path, err)
	}
	return b.m, g.after + 1, err
}

func gatherFrom(ctx context.Context, out string, s *source, r *register.Reader, before *Manifest, g growing) (b *gathering, err error) {
	b = newGathering(out, s, r)
	b.begin(before, g)
	if b.m.Seal = s.seal; filepath.Base(s.file) == register.RegisterName {
		b.m.Seal, err = newestSeal(r.Dir, r.Store())
	}
	if err == nil {
		err = b.read(ctx, r)
	}
	if err == nil {
		err = b.finish(before)
	}
	if err != nil {
		for _, t := range b.tables {
			t.abandon()
		}
	}
	return b, err
}

// read takes the register through an audit that hands everything over.
func (b *gathering) read(ctx context.Context, r *register.Reader) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	if b.grow.after == 0 { // else the audit asks the index itself
		b.days = r.Store().NewDayCheck()
	}
	report, err := audit.Run(ctx, audit.Reader(r), audit.Options{After: b.grow.after, Details: 1, Turns: 1, Each: b.each(stop)})
	if err = cmp.Or(b.err, err); err == nil && b.days != nil {
		err = b.days.Check(report.Extent.ProvedTo)
	}
	if err != nil {
		return err
	}
	b.m.Head = Head{report.Extent.ProvedTo, report.Extent.Head}
	b.m.FirstDay, b.m.LastDay = cmp.Or(b.m.FirstDay, report.Extent.FirstDay), report.Extent.LastDay
	for _, d := range report.Described {
		if d.Entry > b.grow.after || b.grow.after == 0 {
			b.m.Descriptions = append(b.m.Descriptions, Described{d.Entry, d.SHA256})
		}
	}
	b.m.OpenYear = b.grow.open(b.m.LastDay)
	return nil
}

// finish closes the parts and gives them their names; what was gathered before of years
// that are over stays.
func (b *gathering) finish(before *Manifest) error {
	var had, fresh []Part
	if before != nil {
		had = before.Parts
	}
	for _, t := range b.tables {
		parts, err := t.finish()
		if err != nil {
			return err
		}
		fresh = append(fresh, parts...)
	}
	for _, name := range Tables() {
		for i, parts := range [][]Part{had, fresh} {
			for _, p := range parts {
				if p.Table == name && (i == 1 || p.Year < b.grow.year) {
					b.m.Parts = append(b.m.Parts, p)
				}
			}
		}
	}
	s := settling{dir: b.dir, manifest: ManifestName, fresh: fresh, had: had, now: b.m.Parts, same: before != nil && before.Program == b.m.Program && before.Head == b.m.Head}
	if s.same { // what it was read from may lie elsewhere, and be sealed since
		said := *before
		said.Source, said.Seal, said.Years, said.OpenYear, said.Parts = b.m.Source, b.m.Seal, b.m.Years, b.m.OpenYear, b.m.Parts
		s.edited = !reflect.DeepEqual(&said, b.m)
	}
	return s.settle(b.m)
}

// stands says whether what was gathered before is all there is: then nothing but the
// head of the register and its description are looked at.
func (m *Manifest) stands(out string, s *source) bool {
	return m.Genesis == s.genesis.String() && m.Head == headOf(s.tail) && m.fits(out, s)
}

// fits says whether the parts are there, made as this program makes them under the
// description that is in force, and the manifest is as it was written.
func (m *Manifest) fits(out string, s *source) bool {
	n := len(m.Descriptions)
	return asWritten(filepath.Join(out, export.PartitionOf(s.railway(), s.meta.Box), ManifestName)) && m.Schema == Schema && m.Program == program() && n > 0 && m.Descriptions[n-1].SHA256 == s.described && whole(filepath.Join(out, m.Folder), ManifestName, m.Parts)
}
