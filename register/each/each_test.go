package each

import (
	"slices"
	"strconv"
	"testing"
)

// TestOf holds order and length, and that nothing gives a list, which JSON writes as one.
func TestOf(t *testing.T) {
	if got := Of([]int{3, 1, 2}, strconv.Itoa); !slices.Equal(got, []string{"3", "1", "2"}) {
		t.Errorf("%q", got)
	}
	if got := Of(nil, strconv.Itoa); got == nil || len(got) != 0 {
		t.Errorf("of nothing: %#v", got)
	}
}

// TestFirst gives what stands in the list itself, to be changed there.
func TestFirst(t *testing.T) {
	list := []int{1, 4, 6}
	even := func(n *int) bool { return *n%2 == 0 }
	if got := First(list, even); got != &list[1] {
		t.Errorf("%v", got)
	}
	if got := First(list[:1], even); got != nil {
		t.Errorf("%v", *got)
	}
}

// TestJoined leaves out what has no words, with its separator.
func TestJoined(t *testing.T) {
	if got := Joined([]string{"", "a", "", "b", ""}, ", ", func(s string) string { return s }); got != "a, b" {
		t.Errorf("%q", got)
	}
}
