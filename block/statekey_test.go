package block_test

import (
	"encoding/binary"
	"hash/maphash"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unsafe"

	"fairhand/block"
	"fairhand/block/rulebook"

	"github.com/google/go-cmp/cmp"
)

// keyer makes the keys of joint states. Two states have one key when nothing but the
// numbers of entries and trains differs: trains count by their order on hand. It reads
// whatever fields a State has, so that none is forgotten, by where they lie in memory:
// asking for each by reflection took half the time of a search.
type keyer struct {
	seed    maphash.Seed
	layouts map[reflect.Type]*layout
	ids     []int  // trains on hand of the book that is read
	text    []byte // what the key is of
}

func newKeyer() *keyer {
	return &keyer{seed: maphash.MakeSeed(), layouts: map[reflect.Type]*layout{}}
}

func (k *keyer) scene(s *scene) uint64 {
	w := s.world
	w.wrong = 0
	k.text = binary.LittleEndian.AppendUint64(k.text[:0], maphash.Comparable(k.seed, w))
	return k.sum(s)
}

// books is the key of what the two signallers have written, whatever happened.
func (k *keyer) books(s *scene) uint64 {
	k.text = k.text[:0]
	return k.sum(s)
}

func (k *keyer) sum(s *scene) uint64 {
	for x := range s.book {
		k.ids = k.ids[:0]
		for _, t := range s.book[x].Trains {
			k.ids = append(k.ids, t.ID)
		}
		k.take(k.of(reflect.TypeFor[block.State]()), unsafe.Pointer(&s.book[x]))
	}
	return maphash.Bytes(k.seed, k.text)
}

// layout is what of a type goes into a key, in order.
type layout struct {
	size  uintptr
	parts []part
}

// part is one of them: numbers that lie side by side are one.
type part struct {
	at, size uintptr // of bytes, how many
	what     content
	elem     *layout // of what a list or a pointer leads to
}

type content uint8

const (
	asBytes   content = iota // numbers, as they lie there
	asTrain                  // the number of a train
	asText                   // a string
	asList                   // a slice
	asPointer                // nil, or to one
)

func (k *keyer) of(t reflect.Type) *layout {
	l := k.layouts[t]
	if l == nil {
		l = &layout{size: t.Size()}
		k.layouts[t] = l // before its parts: a type may lead back to itself
		k.add(l, t, 0)
	}
	return l
}

// add adds what lies at an offset of a layout.
func (k *keyer) add(l *layout, t reflect.Type, at uintptr) {
	switch t.Kind() {
	case reflect.Struct:
		k.addFields(l, t, at)
	case reflect.Array:
		for i := range t.Len() {
			k.add(l, t.Elem(), at+uintptr(i)*t.Elem().Size())
		}
	case reflect.Pointer:
		l.parts = append(l.parts, part{at: at, what: asPointer, elem: k.of(t.Elem())})
	case reflect.Slice:
		l.parts = append(l.parts, part{at: at, what: asList, elem: k.of(t.Elem())})
	case reflect.String:
		l.parts = append(l.parts, part{at: at, what: asText})
	case reflect.Map, reflect.Interface, reflect.Func, reflect.Chan, reflect.UnsafePointer:
		panic("block.State has a field of kind " + t.Kind().String() + "; teach keyer to read it")
	default:
		if n := len(l.parts); n > 0 && l.parts[n-1].what == asBytes && l.parts[n-1].at+l.parts[n-1].size == at {
			l.parts[n-1].size += t.Size()
			return
		}
		l.parts = append(l.parts, part{at: at, what: asBytes, size: t.Size()})
	}
}

// addFields leaves out the numbers of entries, what only the last event did, and journeys
// that are over.
func (k *keyer) addFields(l *layout, t reflect.Type, at uintptr) {
	for i := range t.NumField() {
		switch f := t.Field(i); {
		case !f.IsExported(), strings.HasSuffix(f.Name, "Seq"), slices.Contains([]string{"Opened", "Touched", "Closed", "NextID", "Earlier", "Rests", "Root"}, f.Name):
		case f.Type.Kind() == reflect.Int && slices.Contains([]string{"Train", "ID", "Helps", "PartOf"}, f.Name):
			l.parts = append(l.parts, part{at: at + f.Offset, what: asTrain})
		default:
			k.add(l, f.Type, at+f.Offset)
		}
	}
}

// take puts what lies at p into the text of the key.
func (k *keyer) take(l *layout, p unsafe.Pointer) {
	for i := range l.parts {
		d := &l.parts[i]
		switch at := unsafe.Add(p, d.at); d.what {
		case asBytes:
			k.text = append(k.text, unsafe.Slice((*byte)(at), d.size)...)
		case asTrain:
			k.text = append(k.text, byte(k.order(*(*int)(at))))
		case asText:
			s := *(*string)(at)
			k.text = append(binary.AppendUvarint(k.text, uint64(len(s))), s...)
		case asList:
			s := *(*[]byte)(at) // its length counts its elements, whatever they are
			k.text = binary.AppendUvarint(k.text, uint64(len(s)))
			for i := range len(s) {
				k.take(d.elem, unsafe.Add(unsafe.Pointer(unsafe.SliceData(s)), uintptr(i)*d.elem.size))
			}
		case asPointer:
			if to := *(*unsafe.Pointer)(at); to == nil {
				k.text = append(k.text, 0)
			} else {
				k.text = append(k.text, 1)
				k.take(d.elem, to)
			}
		}
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
