package main

import (
	"bytes"
	"encoding/binary"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"fairhand/register"
	"fairhand/register/store"
)

// paged is the file of a register as its pages, for who writes them by hand: the engine
// looks for an entry from the top down, and goes through all of them from left to right,
// and in what was edited the one need not find what the other does.
type paged struct {
	*testing.T
	content []byte
}

const pageBytes = 4096

// ofPages edits the pages of the register; root gives the page with which a table or a
// list begins.
func (f *forger) ofPages(edit func(p *paged, root func(name string) uint32)) {
	f.Helper()
	roots := map[string]uint32{}
	for _, name := range []string{"entry", "entry_day", "entry_refers", "description"} {
		var n uint32
		if err := f.db.QueryRow("SELECT rootpage FROM sqlite_schema WHERE name = ?", name).Scan(&n); err != nil {
			f.Fatal(err)
		}
		roots[name] = n
	}
	f.done()
	path := filepath.Join(f.dir, register.RegisterName)
	p := &paged{f.T, read(f.T, path)}
	edit(p, func(name string) uint32 { return roots[name] })
	binary.BigEndian.PutUint32(p.content[28:], uint32(len(p.content)/pageBytes))
	if err := os.WriteFile(path, p.content, 0o600); err != nil {
		f.Fatal(err)
	}
}

func (p *paged) page(n uint32) []byte { return p.content[(n-1)*pageBytes : n*pageBytes] }

// add puts a page behind the others.
func (p *paged) add(page []byte) uint32 {
	p.content = append(p.content, page...)
	return uint32(len(p.content) / pageBytes)
}

// cells are the places of what a leaf holds, in its order.
func cells(leaf []byte) (list []uint16) {
	for i := range binary.BigEndian.Uint16(leaf[3:]) {
		list = append(list, binary.BigEndian.Uint16(leaf[8+2*i:]))
	}
	return list
}

// hold makes a leaf hold these of its cells, in this order.
func hold(leaf []byte, list []uint16) {
	binary.BigEndian.PutUint16(leaf[3:], uint16(len(list)))
	for i, at := range list {
		binary.BigEndian.PutUint16(leaf[8+2*i:], at)
	}
}

// branch is an inner page over some pages, each up to a number of one byte or two, and
// over one behind them.
func branch(right uint32, below ...[2]uint32) []byte {
	page, at := make([]byte, pageBytes), pageBytes
	page[0] = 5
	for i, b := range below {
		cell := binary.BigEndian.AppendUint32(nil, b[0])
		if b[1] > 127 {
			cell = append(cell, byte(b[1]>>7)|0x80)
		}
		cell = append(cell, byte(b[1]&0x7f))
		at -= copy(page[at-len(cell):], cell)
		binary.BigEndian.PutUint16(page[12+2*i:], uint16(at))
	}
	binary.BigEndian.PutUint16(page[3:], uint16(len(below)))
	binary.BigEndian.PutUint16(page[5:], uint16(at))
	binary.BigEndian.PutUint32(page[8:], right)
	return page
}

// besideTrue alters an entry and makes the chain anew, and has the pages edited below top, that
// of all entries, with the last of them as it was.
func (f *forger) besideTrue(edit func(p *paged, top uint32, last []byte)) {
	was := &paged{f.T, read(f.T, filepath.Join(f.dir, register.RegisterName))}
	anew(altered)(f)
	f.ofPages(func(p *paged, root func(string) uint32) {
		top := root("entry")
		edit(p, top, slices.Clone(was.page(binary.BigEndian.Uint32(was.page(top)[8:]))))
	})
}

// lastHigher alters an entry and makes the chain anew, and puts the last four as they
// were on a page of their own, higher than the others: by their numbers these are found,
// and seals fit.
func lastHigher(f *forger) {
	f.besideTrue(func(p *paged, top uint32, true4 []byte) {
		list := cells(true4)
		hold(true4, list[len(list)-4:])
		all, last := p.add(p.page(top)), p.add(true4)
		copy(p.page(top), branch(last, [2]uint32{all, 166}))
	})
}

// foundElsewhere alters an entry and makes the chain anew, and puts a page with the last
// four as they were among the others, with numbers that do not rise: who goes along them
// passes it by, and who looks for the entry of a seal by halves comes upon it.
func foundElsewhere(f *forger) {
	f.besideTrue(func(p *paged, top uint32, true4 []byte) {
		none, list := slices.Clone(true4), cells(true4)
		hold(true4, list[len(list)-4:])
		hold(none, nil)
		found, empty := p.add(true4), p.add(none)
		below := append(under(p.page(top)), [2]uint32{binary.BigEndian.Uint32(p.page(top)[8:]), 171}, [2]uint32{found, 167})
		for half := len(below); len(below) < 4*half-1; {
			next := [2]uint32{empty, 171}
			if len(below) == 2*half-1 { // in the middle
				next = [2]uint32{found, 170}
			}
			below = append(below, next)
		}
		copy(p.page(top), branch(found, below...))
	})
}

// TestLastEntryTwice: where the last entry stands a second time behind the others, as it
// was, what is told as the hash of the last is that of the entry that is shown.
func TestLastEntryTwice(t *testing.T) {
	dir, _ := sealedDemo(t)
	f := forge(t, dir)
	f.besideTrue(func(p *paged, top uint32, last []byte) {
		hold(last, cells(last)[len(cells(last))-1:])
		copy(p.page(top), branch(p.add(last), append(under(p.page(top)), [2]uint32{binary.BigEndian.Uint32(p.page(top)[8:]), 167})...))
	})
	st, err := store.OpenReadOnly(filepath.Join(dir, register.RegisterName))
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	rows, err := st.Range(1, 167)
	if err != nil || len(rows) != 167 || st.Tail() != (store.Tail{Seq: 167, Hash: rows[166].Hash}) {
		t.Errorf("%d entries, the last told as %v, %v", len(rows), st.Tail(), err)
	}
}

// under are the pages under an inner page, each with the number up to which it goes, but
// for the last.
func under(page []byte) (list [][2]uint32) {
	for i := range binary.BigEndian.Uint16(page[3:]) {
		cell := page[binary.BigEndian.Uint16(page[12+2*i:]):]
		last := uint32(cell[4])
		if last > 127 { // as branch writes it
			last = (last&0x7f)<<7 | uint32(cell[5])
		}
		list = append(list, [2]uint32{binary.BigEndian.Uint32(cell), last})
	}
	return list
}

// twoFirst puts a second description of number 0 behind the first, which the heading proves.
func twoFirst(f *forger) {
	f.ofPages(func(p *paged, root func(string) uint32) {
		top := p.page(root("description"))
		if top[0] == leafPage { // of one description
			first, other := p.add(slices.Clone(top)), p.add(clearedSooner(f, top))
			copy(p.page(root("description")), branch(other, [2]uint32{first}))
			return
		}
		first, later := binary.BigEndian.Uint32(top[binary.BigEndian.Uint16(top[12:]):]), binary.BigEndian.Uint32(top[8:])
		second := p.add(clearedSooner(f, p.page(first)))
		copy(p.page(root("description")), branch(later, [2]uint32{first}, [2]uint32{second}))
	})
}

// leafPage is what a page of a table begins with that holds rows itself.
const leafPage = 13

// clearedSooner is the page of a description with a shorter clearing point.
func clearedSooner(f *forger, page []byte) []byte {
	other := bytes.Replace(page, []byte("clearing-point: 440"), []byte("clearing-point: 200"), 1)
	if bytes.Equal(other, page) {
		f.Fatal("no first description")
	}
	return other
}

// lastFirst puts the last of a list before the others, where nobody looks for it who asks
// for it.
func lastFirst(name string) func(*forger) {
	return func(f *forger) {
		f.ofPages(func(p *paged, root func(string) uint32) {
			leaf := p.page(root(name))
			list := cells(leaf)
			hold(leaf, append(list[len(list)-1:], list[:len(list)-1]...))
		})
	}
}

// behindALink leaves a link in the place of the register, and the journal of another file
// where it leads to; where there are no links, beside the register.
func behindALink(f *forger) {
	f.done()
	path, to := filepath.Join(f.dir, register.RegisterName), filepath.Join(f.dir, "elsewhere.db")
	if err := os.Rename(path, to); err != nil {
		f.Fatal(err)
	}
	if os.Symlink(filepath.Base(to), path) != nil {
		if err := os.Rename(to, path); err != nil {
			f.Fatal(err)
		}
		to = path
	}
	if err := os.WriteFile(to+"-journal", journalOfAnother(f.T), 0o600); err != nil {
		f.Fatal(err)
	}
}

func init() {
	attacks = append(attacks,
		attack{"the last of two trees, chain made anew", lastHigher, anything},
		attack{"an entry of a seal found elsewhere", foundElsewhere, anything},
		attack{"a second first description", twoFirst, anything},
		attack{"the last day listed first", lastFirst("entry_day"), byDays},
		attack{"the last correction listed first", lastFirst("entry_refers"), "verify day next text json html csv notation xlsx pdf handover graph svg audit findings from compare now export parquet gather log"},
		attack{"a file that tidies itself", func(f *forger) { // and keeps for that lists where a register has entries
			f.ofPages(func(p *paged, root func(string) uint32) { binary.BigEndian.PutUint32(p.content[52:], 4) })
		}, "verify log"},
		attack{"a journal of another, behind a link", behindALink, anything},
	)
}
