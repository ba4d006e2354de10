package median

import "testing"

func TestMedian(t *testing.T) {
	for _, c := range []struct {
		values []int64
		want   int64
	}{{nil, 0}, {[]int64{7}, 7}, {[]int64{9, 1}, 5}, {[]int64{9, 1, 4}, 4}, {[]int64{8, 2, 7, 4}, 5}, {[]int64{-5, -9, -1}, -5}} {
		if got := Of(c.values); got != c.want {
			t.Errorf("of %v: %d, want %d", c.values, got, c.want)
		}
	}
	if got := Of([]float64{500, 0}); got != 250 {
		t.Errorf("between 0 and 500: %v", got)
	}
}
