package gather

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"fairhand/register"
	"fairhand/register/boxfile"
	"fairhand/register/calendar"
	"fairhand/register/seal"
	"fairhand/register/store"
)

// source is a register as it was found: a box directory, a copy or a volume.
type source struct {
	path    string // as given
	file    string // the register itself
	meta    store.Meta
	genesis store.Hash
	tail    store.Tail

	described string  // digest of the description in force at the end
	seal      *Sealed // of a volume
}

// open opens the register of a source.
func (s *source) open() (*register.Reader, error) {
	stem, volume := strings.CutSuffix(s.file, register.VolumeEnding)
	beside := stem + register.BoxEnding
	if filepath.Base(s.file) == register.RegisterName {
		beside, volume = filepath.Join(filepath.Dir(s.file), register.BoxFileName), false
	}
	file, err := boxfile.Load(beside)
	if errors.Is(err, fs.ErrNotExist) {
		file, err = nil, nil // the register may keep it
	}
	if err != nil {
		return nil, err
	}
	r, err := register.Look(s.file, file)
	if err == nil && volume {
		if err = s.sealed(r, stem); err != nil {
			r.Close()
		}
	}
	return r, err
}

// sealed compares a volume with the seal beside it, if there is one.
func (s *source) sealed(r *register.Reader, stem string) error {
	said, _, err := seal.OfVolume(stem)
	if errors.Is(err, fs.ErrNotExist) {
		return nil // a copy
	}
	st := r.Store()
	if err == nil {
		err = said.FitsVolume(st)
	}
	if err != nil {
		return fmt.Errorf("%s.txt: %w", stem, err)
	}
	s.seal = &Sealed{said.Last, said.Day.String(), said.Hash.String(), filepath.Base(stem) + ".txt", true}
	return nil
}

// look finds the register that an argument names, and its head.
func look(arg string) (*source, error) {
	s := &source{path: arg, file: arg}
	info, err := os.Stat(arg)
	if err != nil {
		return s, err
	}
	if info.IsDir() {
		s.file = filepath.Join(arg, register.RegisterName)
	}
	r, err := s.open()
	if err != nil {
		return s, err
	}
	defer r.Close()
	s.meta, s.tail = r.Store().Meta(), r.Store().Tail()
	s.genesis, s.described = s.meta.Genesis(), r.Described(s.tail.Seq).Digest
	if s.tail.Seq == 0 {
		return s, fmt.Errorf("%s: %w yet", arg, register.ErrNoEntries)
	}
	return s, nil
}

// railway is that of the register, empty where it has none of its own.
func (s *source) railway() string {
	if s.meta.Railway == s.meta.Box {
		return ""
	}
	return s.meta.Railway
}

// choose takes of several registers of one box the longest; the others must be its
// beginning.
func choose(of []*source) (*source, error) {
	slices.SortStableFunc(of, func(a, b *source) int { return cmp.Compare(b.tail.Seq, a.tail.Seq) })
	if len(of) == 1 {
		return of[0], nil
	}
	r, err := of[0].open()
	if err != nil {
		return of[0], err
	}
	defer r.Close()
	for _, o := range of[1:] {
		hash, err := r.Store().HashAt(o.tail.Seq)
		if err != nil {
			return of[0], err
		}
		if hash != o.tail.Hash || o.genesis != of[0].genesis {
			return of[0], &ContradictsError{of[0].path, fmt.Sprintf("entry %d has the hash %s in it and %s in %s", o.tail.Seq, hash, o.tail.Hash, o.path)}
		}
	}
	return of[0], nil
}

// ContradictsError refuses a register that is not the one gathered before, or two of
// one box that are not the same book.
type ContradictsError struct{ Path, Why string }

func (e *ContradictsError) Error() string {
	return fmt.Sprintf("%s is not the register that was there before: %s. Nothing of it was taken; what was gathered before stands. Compare with a backup and with seals to find which is the book", e.Path, e.Why)
}

// follows says whether a register goes on from the head that was gathered before.
func follows(s *source, st *store.Store, m *Manifest) error {
	if g := s.genesis.String(); g != m.Genesis {
		return &ContradictsError{s.path, fmt.Sprintf("it begins with the hash %s, that one with %s", g, m.Genesis)}
	}
	if s.tail.Seq < m.Head.Entry {
		return &ContradictsError{s.path, fmt.Sprintf("it ends with entry %d, and entry %d was in it: an older copy, or its end was taken out", s.tail.Seq, m.Head.Entry)}
	}
	hash, err := st.HashAt(m.Head.Entry)
	if err == nil && hash.String() != m.Head.Hash {
		err = &ContradictsError{s.path, fmt.Sprintf("entry %d has the hash %s and had %s", m.Head.Entry, hash, m.Head.Hash)}
	}
	return err
}

// newestSeal is the newest seal in the directory of a register, every one of which
// must fit it; nil for none.
func newestSeal(dir string, st *store.Store) (*Sealed, error) {
	if _, err := seal.CheckBeside(dir, st); err != nil {
		return nil, err
	}
	list, err := seal.FindBeside(dir)
	if err != nil || len(list) == 0 {
		return nil, err
	}
	b := list[len(list)-1]
	return &Sealed{b.Statement.Last, calendar.Day.String(b.Statement.Day), b.Statement.Hash.String(), filepath.Base(b.Path), b.Signed}, nil
}
