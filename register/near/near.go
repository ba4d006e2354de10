// Package near counts the slips of the pen between a word and the one that was perhaps
// meant. How many are forgiven is whoever asks to say.
package near

// Slips counts the letters added, left out, changed or exchanged with their
// neighbour between a and b (optimal string alignment distance).
func Slips(a, b string) int {
	before, last, now := make([]int, len(b)+1), make([]int, len(b)+1), make([]int, len(b)+1)
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		now[0] = i
		for j := 1; j <= len(b); j++ {
			same := 1
			if a[i-1] == b[j-1] {
				same = 0
			}
			now[j] = min(last[j]+1, now[j-1]+1, last[j-1]+same)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				now[j] = min(now[j], before[j-2]+1)
			}
		}
		before, last, now = last, now, before
	}
	return last[len(b)]
}
