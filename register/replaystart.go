package register

import "fairhand/block"

// StateBefore gives the state that the book tells after entry number after, the
// newest kept one before entry number before: where a replay of before and what
// follows may begin. Without one it is the state of an empty book, and after is
// 0. Corrections written later are in it. It changes nothing in the book, so
// another goroutine may work in the book meanwhile.
func (b *Book) StateBefore(before int64) (after int64, state block.State, err error) {
	view := &Book{file: b.file, st: b.st, shots: b.shots}
	from, state, err := view.startBefore(before)
	return from.Seq, state, err
}
