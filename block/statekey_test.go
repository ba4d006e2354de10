package block_test

import (
	"hash/maphash"
	"reflect"
	"strings"
	"sync"
	"testing"

	"fairhand/block"
	"fairhand/block/rulebook"

	"github.com/google/go-cmp/cmp"
)

// keyer hashes joint states. Two states have one key when nothing but the
// numbers of entries and trains differs: trains count by their order on hand.
// It walks whatever fields a State has, so that none is forgotten.
type keyer struct {
	hash maphash.Hash
	seed maphash.Seed
	ids  []int // trains on hand of the book being hashed
}

func newKeyer() *keyer { return &keyer{seed: maphash.MakeSeed()} }

func (k *keyer) scene(s *scene) uint64 {
	k.hash.SetSeed(k.seed)
	k.hash.Reset()
	w := s.world
	w.wrong = 0
	maphash.WriteComparable(&k.hash, w)
	return k.sum(s)
}

// books is the key of what the two signallers have written, whatever happened.
func (k *keyer) books(s *scene) uint64 {
	k.hash.SetSeed(k.seed)
	k.hash.Reset()
	return k.sum(s)
}

func (k *keyer) sum(s *scene) uint64 {
	for x := range s.book {
		k.state(&s.book[x])
	}
	return k.hash.Sum64()
}

func (k *keyer) state(s *block.State) {
	k.ids = k.ids[:0]
	for _, t := range s.Trains {
		k.ids = append(k.ids, t.ID)
	}
	k.walk(reflect.ValueOf(s).Elem())
}

// what is done with a field
type treatment uint8

const (
	plain   treatment = iota
	skipped           // a number of an entry, what only the last event did, or journeys that are over
	train             // a number of a train
)

var treatments sync.Map // reflect.Type to []treatment

func treat(t reflect.Type) []treatment {
	if c, ok := treatments.Load(t); ok {
		return c.([]treatment)
	}
	out := make([]treatment, t.NumField())
	for i := range out {
		f := t.Field(i)
		switch {
		case !f.IsExported(), strings.HasSuffix(f.Name, "Seq"), f.Name == "Opened", f.Name == "Touched", f.Name == "Closed", f.Name == "NextID", f.Name == "Earlier",
			f.Name == "Rests", f.Name == "Root":
			out[i] = skipped
		case f.Type.Kind() == reflect.Int && (f.Name == "Train" || f.Name == "ID" || f.Name == "Helps" || f.Name == "PartOf"):
			out[i] = train
		}
	}
	treatments.Store(t, out)
	return out
}

func (k *keyer) number(n uint64) {
	var b [8]byte
	for i := range b {
		b[i] = byte(n >> (8 * i))
	}
	k.hash.Write(b[:])
}

func (k *keyer) walk(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i, how := range treat(v.Type()) {
			switch how {
			case plain:
				k.walk(v.Field(i))
			case train:
				k.number(uint64(k.order(int(v.Field(i).Int()))))
			}
		}
	case reflect.Pointer:
		if !v.IsNil() {
			k.walk(v.Elem())
		}
	case reflect.Slice, reflect.Array:
		k.number(uint64(v.Len()))
		for i := range v.Len() {
			k.walk(v.Index(i))
		}
	case reflect.String:
		k.number(uint64(v.Len()))
		k.hash.WriteString(v.String())
	case reflect.Bool:
		if v.Bool() {
			k.hash.WriteByte(1)
		} else {
			k.hash.WriteByte(0)
		}
	case reflect.Int, reflect.Int8, reflect.Int16, reflect.Int32, reflect.Int64:
		k.number(uint64(v.Int()))
	case reflect.Uint8, reflect.Uint16, reflect.Uint32, reflect.Uint64, reflect.Uint:
		k.number(v.Uint())
	default:
		panic("block.State has a field of kind " + v.Kind().String() + "; teach keyer to hash it")
	}
}

// order is 0 for no train, 1 and up for those on hand, 99 for one that has gone.
func (k *keyer) order(id int) int {
	if id == 0 {
		return 0
	}
	for i, n := range k.ids {
		if n == id {
			return i + 1
		}
	}
	return 99
}

// The key must not fall together for states that differ in what matters.
func TestStateKey(t *testing.T) {
	p := newPlant(t, rulebook.Token, "british-later", true)
	k := newKeyer()
	a := p.open(t)
	b := a
	write(t, p, &b.book[0], 0, "Saltgarth >1 <1", clock)
	c := a
	e := reading(t, "Saltgarth >1 <1")
	e.At, e.Seq = clock, 1000
	c.book[0], _ = block.Apply(p.box[0], c.book[0], &e)
	if k.scene(&a) == k.scene(&b) {
		t.Error("an answered call attention leaves the key as it was")
	}
	if k.scene(&b) != k.scene(&c) {
		t.Error("another number of the same entry changes the key" + cmp.Diff(loose(asJSON(t, &b.book[0])), loose(asJSON(t, &c.book[0]))))
	}
}
