package boxfile

import (
	"time"

	"fairhand/block"
)

// civil writes a time zone down as data, from 1970 to 2100, for the package
// that may not ask a clock or a zone.
func civil(loc *time.Location) []block.CivilTime {
	var out []block.CivilTime
	at := time.Unix(0, 0).In(loc)
	for at.Year() < 2100 {
		_, offset := at.Zone()
		out = append(out, block.CivilTime{From: block.Time(at.Unix()), Offset: block.Time(offset)})
		_, end := at.ZoneBounds()
		if end.IsZero() {
			break
		}
		at = end
	}
	return out
}
