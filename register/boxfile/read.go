package boxfile

import (
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/pattern"

	"go.yaml.in/yaml/v3"
)

// text reads one line of text exactly as written, whatever YAML would take it
// for.
func (d *decoder) text(n *yaml.Node, key string) (string, bool) {
	v := n.Value
	switch {
	case n.Kind != yaml.ScalarNode:
		d.fault(n, "%s must be one value, not a list or further keys", key)
	case v == "":
		d.fault(n, "%s: nothing is given; write a value or leave the key out", key)
	case strings.TrimSpace(v) != v:
		d.fault(n, "%s %q begins or ends with a space; take it away", key, v)
	case strings.ContainsFunc(v, unprintable):
		d.fault(n, "%s %q must be one line of printable text", key, v)
	default:
		return v, true
	}
	return "", false
}

// unprintable says which letters may not stand in a name. The two joiners are
// needed to spell names in several scripts of India.
func unprintable(r rune) bool {
	return !unicode.IsGraphic(r) && r != '\u200c' && r != '\u200d' || r == unicode.ReplacementChar
}

// word reads one of the known words.
func (d *decoder) word(n *yaml.Node, key string, known []string) (string, bool) {
	v, ok := d.text(n, key)
	if ok && !slices.Contains(known, v) {
		d.fault(n, "%s has no word %q; %s", key, v, suggest(v, known))
		return "", false
	}
	return v, ok
}

// texts reads a list of text, or of known words when there are any.
func (d *decoder) texts(n *yaml.Node, key string, known []string) []string {
	if n.Kind != yaml.SequenceNode {
		d.fault(n, "%s must be a list, such as [%s]", key, strings.Join(append(slices.Clone(known), "first", "second")[:2], ", "))
		return nil
	}
	var list []string
	for _, c := range n.Content {
		v, ok := d.text(c, key)
		switch {
		case !ok:
		case known != nil && !slices.Contains(known, v):
			d.fault(c, "%s has no word %q; %s", key, v, suggest(v, known))
		case slices.Contains(list, v):
			d.fault(c, "%s: %q is given twice; keep one", key, v)
		default:
			list = append(list, v)
		}
	}
	return list
}

// decimalText keeps out what strconv would accept beside plain decimals, such
// as 1E45, 0x10 and 1_000.
var decimalText = pattern.Late(`^[0-9]{1,6}(\.[0-9]{1,4})?$`)

func decimal(s string) (float64, bool) {
	if !decimalText().MatchString(s) {
		return 0, false
	}
	f, err := strconv.ParseFloat(s, 64)
	return f, err == nil
}

// read takes a value out of one line of text by a function that gives it, or what is wrong
// with the text, which is named there once.
func read[V any](d *decoder, n *yaml.Node, key string, of func(text string) (V, string)) (V, bool) {
	var v V
	text, ok := d.text(n, key)
	if !ok {
		return v, false
	}
	v, wrong := of(text)
	if wrong != "" {
		d.fault(n, "%s "+wrong, key, text)
	}
	return v, wrong == ""
}

// count reads a whole number from 0 to 9999.
func (d *decoder) count(n *yaml.Node, key string) (int, bool) {
	return read(d, n, key, func(v string) (int, string) {
		i, err := strconv.Atoi(v)
		if err != nil || len(v) > 4 || !decimalText().MatchString(v) {
			return 0, "must be a whole number from 0 to 9999, not %q"
		}
		return i, ""
	})
}

var maxDistance = rulebook.Metres(100_000)

// distance reads yards, or metres or yards with their unit.
func (d *decoder) distance(n *yaml.Node, key string) (rulebook.Distance, bool) {
	return read(d, n, key, func(v string) (rulebook.Distance, string) {
		number, unit := v, ""
		if i := strings.IndexFunc(v, func(r rune) bool { return r != '.' && (r < '0' || r > '9') }); i >= 0 {
			number, unit = v[:i], strings.TrimSpace(v[i:])
		}
		f, ok := decimal(number)
		dist := rulebook.Yards(f)
		if unit == "m" {
			dist = rulebook.Metres(f)
		}
		switch {
		case !ok || unit != "" && unit != "yd" && unit != "m":
			return 0, "%q is no distance; write yards as 440 or \"440 yd\", metres as \"400 m\""
		case dist > maxDistance:
			return 0, "%q is more than 100 km; check the number and its unit"
		}
		return dist, ""
	})
}

// minutes reads minutes, decimals allowed, to the nearest second.
func (d *decoder) minutes(n *yaml.Node, key string) (block.Time, bool) {
	return read(d, n, key, func(v string) (block.Time, string) {
		f, ok := decimal(v)
		t := block.Time(f*float64(block.Minute) + 0.5)
		if !ok || t <= 0 || t > 24*60*block.Minute {
			return 0, "must be minutes, more than 0 and at most 1440, such as 4 or 4.5, not %q"
		}
		return t, ""
	})
}

// flag reads true or false; YAML's other words for them are not taken.
func (d *decoder) flag(n *yaml.Node, key string) (is, ok bool) {
	return read(d, n, key, func(v string) (bool, string) {
		if v != "true" && v != "false" {
			return false, "must be true or false, not %q"
		}
		return v == "true", ""
	})
}

var clockText = pattern.Late(`^([01][0-9]|2[0-3]):[0-5][0-9]$`)

// clock reads a time of day into seconds.
func (d *decoder) clock(n *yaml.Node, key string) (block.Time, bool) {
	return read(d, n, key, func(v string) (block.Time, string) {
		if !clockText().MatchString(v) {
			return 0, "must be a time of day such as \"09:00\", not %q"
		}
		hour, _ := strconv.Atoi(v[:2])
		minute, _ := strconv.Atoi(v[3:])
		return block.Time(hour*60+minute) * block.Minute, ""
	})
}

// zone reads the name of a time zone. The computer's own zone is refused: the
// same book must read the same everywhere.
func (d *decoder) zone(n *yaml.Node, key string) (*time.Location, bool) {
	return read(d, n, key, func(v string) (*time.Location, string) {
		at, err := time.LoadLocation(v)
		if err != nil || v == "Local" {
			return nil, "%q is not known; write a name of the time zone database such as Europe/London, or UTC"
		}
		return at, ""
	})
}

const (
	maxToken  = 9999
	maxTokens = 500 // far more than any pair of instruments holds
)

// tokenText is a text of token numbers: ranges and numbers with commas.
var tokenText = pattern.Late(`^[0-9]{1,4}( *- *[0-9]{1,4})?( *, *[0-9]{1,4}( *- *[0-9]{1,4})?)*$`)

// tokens reads token numbers: "1-12", "1-6,9", a list, or none.
func (d *decoder) tokens(n *yaml.Node, key string) []int {
	var parts []string
	if n.Kind == yaml.SequenceNode {
		for _, c := range n.Content {
			if v, ok := d.text(c, key); ok {
				parts = append(parts, v)
			}
		}
	} else {
		v, ok := d.text(n, key)
		if !ok || v == "none" {
			return nil
		}
		if _, err := strconv.Atoi(v); err == nil {
			d.fault(n, "%s: %s alone may be a number or how many; write \"1-%s\", or [%s] for the one token", key, v, v, v)
			return nil
		}
		parts = strings.Split(v, ",")
	}
	var numbers []int
	for _, p := range parts {
		if !tokenText().MatchString(strings.TrimSpace(p)) {
			d.fault(n, "%s: %q is no token number; write \"1-12\", \"1-6,9\" or a list", key, p)
			return nil
		}
		numbers = d.tokenRange(n, key, p, numbers)
	}
	return numbers
}

// tokenRange adds the numbers of "7" or "1-6".
func (d *decoder) tokenRange(n *yaml.Node, key, part string, numbers []int) []int {
	from, to, isRange := strings.Cut(strings.ReplaceAll(part, " ", ""), "-")
	if !isRange {
		to = from
	}
	a, errA := strconv.Atoi(from)
	b, errB := strconv.Atoi(to)
	switch {
	case errA != nil || errB != nil || a < 1 || b < a || b > maxToken:
		d.fault(n, "%s: %q is no token number or range; tokens are numbered from 1, the smaller number first", key, part)
		return numbers
	case len(numbers)+b-a >= maxTokens:
		d.fault(n, "%s: more than %d tokens; check the numbers", key, maxTokens)
		return numbers
	}
	for i := a; i <= b; i++ {
		if slices.Contains(numbers, i) {
			d.fault(n, "%s: token %d is given twice", key, i)
			continue
		}
		numbers = append(numbers, i)
	}
	return numbers
}
