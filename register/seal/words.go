package seal

import (
	"encoding/binary"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"golang.org/x/crypto/scrypt"

	"fairhand/register/boxfile"
	"fairhand/register/each"
	"fairhand/register/internal/dear"
	"fairhand/register/store"
)

// The short form of a head is the number of its entry and six words: five for 40
// bits drawn from the hash, and one to check the others and the number. It is
// told by telephone and entered in the neighbour's book.
//
// Forty bits alone could be hit by trying: a forger alters some entry again and
// again until the head has the same words. So the bits are drawn by scrypt (RFC
// 7914), which takes about a tenth of a second and 32 MiB for each try: some
// thousands of years of one processor, where plain SHA-256 would take minutes
// of a fast one. The price is a tenth of a second for each head that is compared.
const (
	headWords = 5
	allWords  = headWords + 1

	stretchSalt = "fairhand head words 1"
	stretchR    = 8
	stretchP    = 1
)

// Told is a head as it is told: the words without the hash behind them.
type Told struct {
	Entry int64 // number of the last entry
	bits  [headWords]byte
}

// known are the heads whose words this run has drawn: the pages of a month under one
// seal all have the same.
var known sync.Map

// Words gives the short form of a head.
func Words(head store.Tail) (Told, error) {
	t := Told{Entry: head.Seq}
	if head.Seq < 1 {
		return t, errors.New("an empty register has no head to tell")
	}
	if before, ok := known.Load(head); ok {
		return before.(Told), nil
	}
	drawn, err := scrypt.Key(head.Hash[:], []byte(stretchSalt), dear.Stretch, stretchR, stretchP, headWords)
	if err != nil {
		return t, fmt.Errorf("drawing the words of a head: %w", err)
	}
	copy(t.bits[:], drawn)
	known.Store(head, t)
	return t, nil
}

// String is the number and the six words, as they are read out: "4123 acorn ...".
func (t Told) String() string {
	words := each.Of(append(t.bits[:], t.check()), func(b byte) string { return wordList[b] })
	return strconv.FormatInt(t.Entry, 10) + " " + strings.Join(words, " ")
}

// check is a remainder over GF(256) with a primitive polynomial: it differs
// whenever one word is wrong or two words have changed places.
func (t Told) check() byte {
	data := binary.BigEndian.AppendUint64(nil, uint64(t.Entry))
	var c byte
	for _, b := range append(data, t.bits[:]...) {
		c ^= b
		for range 8 {
			carry := c >> 7
			c = c<<1 ^ carry*0x1d
		}
	}
	return c
}

// ErrMisheard is the error of words that do not belong together.
var ErrMisheard = errors.New("the words do not agree with their check word")

// ParseWords reads what String gives, in any case, with commas or hyphens for
// the blanks. A word or number that was misheard or two that changed places are
// ErrMisheard; a word that is none of ours is named with the nearest that is.
func ParseWords(text string) (Told, error) {
	var t Told
	parts := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return strings.ContainsRune(" ,;-.\t\r\n", r) })
	if len(parts) != allWords+1 {
		return t, fmt.Errorf("a told head is the number of an entry and %d words; here are %d in all", allWords, len(parts))
	}
	n, err := strconv.ParseInt(parts[0], 10, 64)
	if err != nil || n < 1 {
		return t, fmt.Errorf("a told head begins with the number of an entry, not with %q", firstOf(parts[0]))
	}
	t.Entry = n
	var got []byte
	for _, w := range parts[1:] {
		at, ok := slices.BinarySearch(wordList, w)
		if !ok {
			return t, unknownWord(w)
		}
		got = append(got, byte(at))
	}
	if copy(t.bits[:], got); got[headWords] != t.check() {
		return t, fmt.Errorf("%w: have them told again, slowly", ErrMisheard)
	}
	return t, nil
}

func unknownWord(w string) error {
	if near := boxfile.Nearest(w, wordList); near != "" {
		return fmt.Errorf("%q is none of the words of a head; perhaps %q was said", firstOf(w), near)
	}
	return fmt.Errorf("%q is none of the words of a head", firstOf(w))
}

// Match says whether the words are those of a head: of the entry with the number
// told, as it stands in the register now.
func (t Told) Match(head store.Tail) (bool, error) {
	if head.Seq != t.Entry {
		return false, nil
	}
	own, err := Words(head)
	return own == t, err
}
