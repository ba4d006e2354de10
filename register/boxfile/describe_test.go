package boxfile

import (
	"fmt"
	"strconv"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
)

// describe puts a file back into plain answers, so that Write and Decode give
// the same Box again. What came from the rule set or a default is spelled out,
// except limits.
func describe(f *File) Description {
	b := f.Box
	d := Description{
		Railway: b.Railway, Box: b.Name, Timezone: f.Location.String(), Rules: b.Rules.Name,
		Rounding: b.Rounding, Booking: bookingWords[b.Booking], Timetable: f.Timetable,
	}
	if b.ClockCheck >= 0 {
		d.ClockCheck = fmt.Sprintf("%02d:%02d", b.ClockCheck/3600, b.ClockCheck/60%60)
	}
	for i := range b.Sections {
		d.Sections = append(d.Sections, describeSection(&b.Sections[i]))
	}
	for _, p := range b.Places {
		d.Places = append(d.Places, describePlace(p))
	}
	for _, s := range b.Signals {
		d.Signals = append(d.Signals, SignalDescription(s))
	}
	for _, g := range b.Gear {
		d.Gear = append(d.Gear, GearDescription(g))
	}
	for _, p := range b.People {
		d.People = append(d.People, PersonDescription(p))
	}
	for _, c := range b.Codes {
		d.Codes = append(d.Codes, describeCode(c))
	}
	for i, l := range b.Limits {
		if l.Source == source {
			d.Limits = append(d.Limits, Pair{rulebook.LimitWords[i].Key, minutesText(block.Time(l.Value))})
		}
	}
	return d
}

func describeSection(s *block.Section) SectionDescription {
	d := SectionDescription{
		Neighbour: s.Neighbour, Method: s.Method.String(), Towards: s.Towards,
		Allow: s.Allow, Needs: s.Needs, LongSection: s.LongSection, Converges: s.Converges, Shares: s.Shares,
	}
	for _, l := range s.Lines {
		line := LineDescription{Name: l.Name}
		if l.Way != block.Both {
			line.Way = l.Way.String()
		}
		d.Lines = append(d.Lines, line)
	}
	if s.ClearingPoint != 0 {
		d.ClearingPoint = distanceText(s.ClearingPoint)
	}
	if len(s.Tokens.Charge) > 0 {
		d.Tokens = &TokensDescription{tokensText(s.Tokens.Charge), tokensText(s.Tokens.Here), s.Tokens.LowStock}
	}
	for _, c := range classes {
		if t := s.Running[c]; t > 0 {
			d.RunningMinutes = append(d.RunningMinutes, Pair{classWord(c), minutesText(t)})
		}
	}
	return d
}

func describePlace(p block.Place) PlaceDescription {
	d := PlaceDescription{Name: p.Name, Holds: p.Holds, AtSignal: p.AtSignal, Siding: p.Siding, StarterFor: p.StarterFor, InSection: p.InSection}
	for _, b := range p.BeyondHome {
		d.BeyondHome = append(d.BeyondHome, Pair{b.Section, distanceText(b.Distance)})
	}
	for _, f := range p.Fouls {
		d.Fouls = append(d.Fouls, FoulDescription(f))
	}
	return d
}

func describeCode(c rulebook.CodeRow) CodeDescription {
	d := CodeDescription{
		Beats: string(c.Code), Means: c.Words, From: sideWords[c.From],
		NoCallAttention: c.NoAttention, Source: c.Source,
	}
	for _, m := range c.Methods {
		d.Methods = append(d.Methods, m.String())
	}
	switch c.Means {
	case rulebook.Offer:
		d.Class = classWord(c.Class)
	case rulebook.LocalSignal: // what it is when nothing is said
	default:
		d.Signal = meaningWords[c.Means]
	}
	return d
}

// distanceText writes whole yards as a number and all else in metres, of which
// a millimetre is the least part.
func distanceText(d rulebook.Distance) Number {
	if n := (int64(d)*10 + 4572) / 9144; rulebook.Yards(float64(n)) == d {
		return Number(strconv.FormatInt(n, 10))
	}
	return Number(trimZeros(fmt.Sprintf("%d.%03d", d/1000, d%1000)) + " m")
}

// minutesText writes minutes with so many decimals that the second comes back.
func minutesText(t block.Time) Number {
	return Number(trimZeros(fmt.Sprintf("%.4f", float64(t)/float64(block.Minute))))
}

func trimZeros(s string) string { return strings.TrimRight(strings.TrimRight(s, "0"), ".") }

// tokensText writes token numbers as ranges in the order of the list.
func tokensText(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		j := i
		for j+1 < len(numbers) && numbers[j+1] == numbers[j]+1 {
			j++
		}
		part := strconv.Itoa(numbers[i])
		if j > i || len(numbers) == 1 { // a number alone could be read as how many
			part += "-" + strconv.Itoa(numbers[j])
		}
		parts = append(parts, part)
		i = j + 1
	}
	if len(parts) == 0 {
		return "none"
	}
	return strings.Join(parts, ",")
}
