package boxfile

import (
	"time"

	"fairhand/block"
)

// The years civil time is written down for: from the first railways on.
const firstCivilYear, lastCivilYear = 1840, 2100

// civil writes a time zone down as data, from 1840 on, for the package that may
// not ask a clock or a zone.
func civil(loc *time.Location) []block.CivilTime {
	var out []block.CivilTime
	for at := time.Date(firstCivilYear, 1, 1, 0, 0, 0, 0, loc); at.Year() < lastCivilYear; {
		_, offset := at.Zone()
		if n := len(out); n == 0 || out[n-1].Offset != block.Time(offset) {
			out = append(out, block.CivilTime{From: block.Time(at.Unix()), Offset: block.Time(offset)})
		}
		_, end := at.ZoneBounds()
		switch {
		case end.IsZero():
			return out
		case end.After(at):
			at = end
		default:
			// Where the zone's table ends and its rule begins, ZoneBounds gives
			// the moment asked about; a day on it knows again.
			at = at.AddDate(0, 0, 1)
		}
	}
	return out
}
