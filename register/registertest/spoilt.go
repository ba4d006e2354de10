package registertest

import (
	"fmt"
	"hash/fnv"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
)

// spoiling writes something of a book otherwise, as a tired hand does, drawn by chance.
type spoiling struct {
	name string
	do   func(l lines, rng *rand.Rand) lines
}

// lines are those of a book, of which most begin with a time.
type lines []string

var spoilings = []spoiling{
	{"an hour for another", func(l lines, rng *rand.Rand) lines { return l.hours(rng, 1) }},
	{"a page with an hour for another", func(l lines, rng *rand.Rand) lines { return l.hours(rng, 2+rng.IntN(5)) }},
	{"a minute for another", func(l lines, rng *rand.Rand) lines { return l.later(l.any(rng), rng.IntN(25)-12) }},
	{"two minutes for others", func(l lines, rng *rand.Rand) lines {
		return l.later(l.any(rng), rng.IntN(25)-12).later(l.any(rng), rng.IntN(25)-12)
	}},
	{"lines of one minute in another order", lines.oneMinute},
	{"written late", func(l lines, rng *rand.Rand) lines { return l.late(rng, 1+rng.IntN(3), true) }},
	{"out of order without a word", func(l lines, rng *rand.Rand) lines { return l.late(rng, 1+rng.IntN(3), false) }},
	{"arrows turned", func(l lines, rng *rand.Rand) lines {
		return l.change(rng, func(s string) string { return strings.NewReplacer("<", ">", ">", "<").Replace(s) })
	}},
	{"against another box", func(l lines, rng *rand.Rand) lines { return l.like(rng, section) }},
	{"another train", func(l lines, rng *rand.Rand) lines { return l.like(rng, named) }},
	{"a name miswritten", func(l lines, rng *rand.Rand) lines {
		return l.change(rng, func(s string) string {
			at := named.FindStringSubmatchIndex(s)
			if at == nil {
				return s
			}
			return s[:at[3]-1] + fmt.Sprint(rng.IntN(10)) + s[at[3]:]
		})
	}},
	{"another number", func(l lines, rng *rand.Rand) lines { return l.like(rng, numbered) }},
	{"left out", func(l lines, rng *rand.Rand) lines { i := l.any(rng); return slices.Delete(l, i, i+1) }},
	{"written twice", func(l lines, rng *rand.Rand) lines {
		i := l.any(rng)
		return slices.Insert(l, i+rng.IntN(min(3, len(l)-i))+1, l[i])
	}},
	{"a page twice", func(l lines, rng *rand.Rand) lines {
		i := rng.IntN(max(1, len(l)-9))
		return slices.Insert(l, min(len(l), i+12), l[i:min(len(l), i+7+rng.IntN(5))]...)
	}},
	{"corrected", func(l lines, rng *rand.Rand) lines { return l.corrected(rng, 1+rng.IntN(3)) }},
	{"corrected and out of order", func(l lines, rng *rand.Rand) lines { return l.late(rng, 1, rng.IntN(2) == 0).corrected(rng, 1) }},
	{"of other days", lines.otherDays},
	{"a clock set, or an older book", lines.setBack},
	{"what cannot be read", lines.unreadable},
}

var (
	timed    = regexp.MustCompile(`^(\d\d):(\d\d)( .*)?$`)
	section  = regexp.MustCompile(`^\d\d:\d\d (\S+) [<>]`)
	named    = regexp.MustCompile(`train (\d\S+)`)
	numbered = regexp.MustCompile(`(?:token|staff) (\d+)`)
)

// Spoilt writes some of the lines of a book otherwise, as a tired hand does, and says how: in the
// k-th way that is drawn for a book of a name, always the same. A book that is too short for it is
// given as it is.
func Spoilt(name string, k int, book []string) (spoilt []string, how string) {
	if len(book) < 4 {
		return book, "as it is"
	}
	s, rng := drawn(name, k)
	return s.do(slices.Clone(book), rng), s.name
}

// drawn is that way.
func drawn(id string, k int) (*spoiling, *rand.Rand) {
	h := fnv.New64a()
	h.Write([]byte(id))
	rng := rand.New(rand.NewPCG(h.Sum64(), uint64(k)))
	return &spoilings[rng.IntN(len(spoilings))], rng
}

// any is one of the lines that begin with a time, or the last where few do.
func (l lines) any(rng *rand.Rand) int {
	for range 20 {
		if i := rng.IntN(len(l)); timed.MatchString(l[i]) {
			return i
		}
	}
	return len(l) - 1
}

// Later is a line of a book as of so many minutes later, of the same day.
func Later(line string, minutes int) string {
	if at := MinuteOf(line); at >= 0 {
		return clock(at+minutes) + line[5:]
	}
	return line
}

func (l lines) later(i, minutes int) lines {
	l[i] = Later(l[i], minutes)
	return l
}

// MinuteOf is the minute of the day that a line begins with, -1 for none.
func MinuteOf(line string) int {
	var h, m int
	if n, _ := fmt.Sscanf(line, "%2d:%2d", &h, &m); n < 2 || !timed.MatchString(line) {
		return -1
	}
	return 60*h + m
}

func clock(minute int) string {
	minute = min(max(minute, 0), 24*60-1)
	return fmt.Sprintf("%02d:%02d", minute/60, minute%60)
}

func (l lines) hours(rng *rand.Rand, n int) lines {
	by, from := []int{-60, 60, -120, 120, 60}[rng.IntN(5)], l.any(rng)
	for i := from; i < min(len(l), from+n); i++ {
		l.later(i, by)
	}
	return l
}

// oneMinute has some lines be of one minute, and puts them in another order.
func (l lines) oneMinute(rng *rand.Rand) lines {
	from := l.any(rng)
	group := l[from:min(len(l), from+2+rng.IntN(4))]
	for i := range group {
		if at := MinuteOf(group[i]); at >= 0 {
			group[i] = l[from][:5] + group[i][5:]
		}
	}
	rng.Shuffle(len(group), func(i, j int) { group[i], group[j] = group[j], group[i] })
	return l
}

// late moves lines down, and has them say that they were written late.
func (l lines) late(rng *rand.Rand, n int, said bool) lines {
	from := l.any(rng)
	n = min(n, len(l)-from)
	to := min(from+rng.IntN(9), len(l)-n)
	moved := slices.Clone(l[from : from+n])
	l = slices.Insert(slices.Delete(l, from, from+n), to, moved...)
	for i := to; said && i < to+n; i++ {
		if at := MinuteOf(l[max(to-1, 0)]); at >= 0 && MinuteOf(l[i]) >= 0 && !strings.Contains(l[i], "written") {
			l[i] += " written " + clock(at+1)
		}
	}
	return l
}

// change writes one of the lines otherwise that it changes.
func (l lines) change(rng *rand.Rand, to func(string) string) lines {
	for range 30 {
		i := l.any(rng)
		if is := to(l[i]); is != l[i] {
			l[i] = is
			return l
		}
	}
	return l
}

// like writes in one of the lines what another has in that place.
func (l lines) like(rng *rand.Rand, what *regexp.Regexp) lines {
	return l.change(rng, func(s string) string {
		here, there := what.FindStringSubmatchIndex(s), what.FindStringSubmatch(l[rng.IntN(len(l))])
		if here == nil || there == nil {
			return s
		}
		return s[:here[2]] + there[1] + s[here[3]:]
	})
}

// corrected has entries of the book corrected below, some of them twice, and explained.
func (l lines) corrected(rng *rand.Rand, n int) lines {
	for range n {
		end := max(len(l)-rng.IntN(6), 2)
		at := ""
		for i := end - 1; i >= 0 && at == ""; i-- {
			if MinuteOf(l[i]) >= 0 {
				at = l[i][:5]
			}
		}
		var entries []int // lines of them
		for i, line := range l[:end] {
			if timed.MatchString(line) && !strings.Contains(line, ";") {
				entries = append(entries, i)
			}
		}
		if at == "" || len(entries) == 0 {
			return l
		}
		of := rng.IntN(len(entries))
		instead := lines{l[entries[of]]}
		switch rng.IntN(7) {
		case 0:
			instead.later(0, rng.IntN(9)-4)
		case 1:
			instead[0] = l[entries[rng.IntN(len(entries))]]
		case 2:
			instead[0] = fmt.Sprintf("explain %d %q", 1+rng.IntN(len(entries)), "so")
		case 3:
			instead[0] = "note \"nothing\""
		case 4:
			instead[0] = "2026-05-0" + fmt.Sprint(3+rng.IntN(6)) + " " + instead[0]
		default:
			instead = append(lines{instead[0]}, l...).like(rng, []*regexp.Regexp{named, section}[rng.IntN(2)])[:1]
		}
		line := fmt.Sprintf("%s correct %d %q", at, of+1, instead[0])
		if rng.IntN(6) == 0 {
			line = fmt.Sprintf("%s explain %d %q", at, of+1, "told")
		}
		l = slices.Insert(l, end, line)
	}
	return l
}

// otherDays has the book go on on another day from a line on, and some lines be of one before.
func (l lines) otherDays(rng *rand.Rand) lines {
	for _, line := range l {
		if strings.HasPrefix(line, "date") {
			return l
		}
	}
	from := 1 + rng.IntN(len(l)-1)
	l = slices.Insert(l, from, fmt.Sprintf("date 2026-05-0%d", 6+rng.IntN(3)))
	if rng.IntN(3) > 0 {
		at := from + 1 + rng.IntN(len(l)-from-1)
		next := min(len(l), at+1+rng.IntN(6))
		back := l[from]
		l = slices.Insert(slices.Insert(l, next, back), at, fmt.Sprintf("date 2026-05-0%d", 1+rng.IntN(6)))
	}
	return l
}

// setBack has the clock set, or what an older book says copied in.
func (l lines) setBack(rng *rand.Rand) lines {
	i := l.any(rng)
	at := MinuteOf(l[i])
	if at < 0 {
		return l
	}
	by := rng.IntN(130) - 65
	if rng.IntN(3) > 0 {
		for k := i; k < len(l); k++ {
			l.later(k, by)
		}
	}
	what := []string{"clock set", "transcribed \"an older book\"", "duty on \"R. Howe\"", "duty off \"A. Fell\""}[rng.IntN(4)]
	return slices.Insert(l, i, clock(at+by)+" "+what)
}

// unreadable has lines in the book that cannot be read, or speak of entries that are not there.
func (l lines) unreadable(rng *rand.Rand) lines {
	for range 1 + rng.IntN(3) {
		i := l.any(rng)
		if MinuteOf(l[i]) < 0 {
			return l
		}
		what := []string{"nonsense", fmt.Sprintf("correct %d \"fog on\"", rng.IntN(len(l)*3/2)), fmt.Sprintf("explain %d \"so\"", rng.IntN(len(l)*3/2)), fmt.Sprintf("correct %d \"nonsense\"", 1+rng.IntN(i+1)),
			fmt.Sprintf("correct %d \"explain %d \\\"so\\\"\"", 1+rng.IntN(i+1), rng.IntN(len(l)))}[rng.IntN(5)]
		l = slices.Insert(l, i+1, l[i][:5]+" "+what)
	}
	return l
}
