package gather

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"time"

	"fairhand/block"
	"fairhand/export"
	"fairhand/register"
	"fairhand/register/calendar"
	"fairhand/register/compare"
	"fairhand/register/store"
)

// bell is a row of the table bells: a bell signal that the books of two neighbours
// both have. It is in the folder of the first of them by name.
type bell struct {
	whose
	Neighbour      string  `parquet:"neighbour,dict"`
	Day            int32   `parquet:"day,date"` // of the box, like all that is not said to be the neighbour's
	At             int64   `parquet:"happened_at,timestamp(microsecond)"`
	NeighbourAt    int64   `parquet:"neighbour_at,timestamp(microsecond)"`
	Entry          int64   `parquet:"entry"`
	NeighbourEntry int64   `parquet:"neighbour_entry"`
	Code           string  `parquet:"code,dict"`
	Sent           bool    `parquet:"sent"` // by the box
	Train          *string `parquet:"train,optional,dict"`
	Differs        int64   `parquet:"differs_seconds"`     // neighbour's time less that of the box
	Clock          float64 `parquet:"clock_ahead_seconds"` // of that, what the neighbour's clock was ahead, by the signals around
}

// clock is a row of the table clocks: how the clocks of two neighbours agreed for a day,
// or for a part of one between settings of a clock.
type clock struct {
	whose
	Neighbour string  `parquet:"neighbour,dict"`
	Day       int32   `parquet:"day,date"`
	From      int64   `parquet:"from_at,timestamp(microsecond)"`
	To        int64   `parquet:"to_at,timestamp(microsecond)"`
	Ahead     float64 `parquet:"ahead_seconds"`          // the neighbour's clock, in the middle of it
	Drift     float64 `parquet:"drift_seconds_per_hour"` // gained by the neighbour's
	Spread    float64 `parquet:"spread_seconds"`         // half of the signals lie as near
	Matched   int64   `parquet:"matched"`                // signals it rests on
}

// Pair is what became of two neighbours' bells.
type Pair struct {
	Railway   string `json:"railway"`
	Box       string `json:"box"`
	Neighbour string `json:"neighbour"`
	State     State  `json:"state"`
	Bells     int64  `json:"bells"` // that both books have
	Error     string `json:"error,omitempty"`

	a, b *Box
	err  error
}

// joined is the manifest of a pair.
type joined struct {
	Schema    string       `json:"schema"`
	Caution   string       `json:"caution"`
	Program   string       `json:"program"`
	Railway   string       `json:"railway"`
	Box       string       `json:"box"`
	Neighbour string       `json:"neighbour"`
	Years     []joinedYear `json:"years"`
}

// joinedYear is what the parts of a year were made from. A year of which neither box's
// entries came out otherwise than before is not made again.
type joinedYear struct {
	Year     int    `json:"year"`
	MadeFrom string `json:"made_from"` // digest of the digests of both boxes' parts of entries
	Bells    int64  `json:"bells"`
	Parts    []Part `json:"parts"`
}

// pair lays the bells of all neighbours side by side of which there are both registers.
func (r *Result) pair(ctx context.Context, opt *Options) error {
	by := map[[2]string]*Box{}
	for _, b := range r.Boxes {
		if b.State != Refused {
			by[[2]string{b.Railway, b.Box}] = b
		}
	}
	for _, b := range r.Boxes {
		if by[[2]string{b.Railway, b.Box}] != b {
			continue
		}
		for _, name := range b.m.Neighbours {
			other := by[[2]string{b.Railway, name}]
			if other != nil && b.Box < name && slices.Contains(other.m.Neighbours, b.Box) {
				r.Pairs = append(r.Pairs, Pair{Railway: b.Railway, Box: b.Box, Neighbour: name, a: b, b: other})
			}
		}
	}
	inParallel(opt.Workers, len(r.Pairs), opt.Progress, func(i int) { r.Pairs[i].lay(ctx, opt.Out, opt.Anew) })
	return ctx.Err()
}

// lay brings the bells of a pair up to date.
func (p *Pair) lay(ctx context.Context, out string, anew bool) {
	p.State = Refused
	defer func() {
		if _, ok := errors.AsType[*AlteredError](p.err); p.err != nil && !ok {
			p.State = Refused
		}
		if r := recover(); r != nil {
			p.err, p.State = fmt.Errorf("a fault within the program: %v", r), Refused
		}
		if p.err != nil {
			p.err = fmt.Errorf("the bells of %s and %s: %w", p.Box, p.Neighbour, p.err)
			p.Error = p.err.Error()
		}
	}()
	dir := filepath.Join(out, p.a.m.Folder)
	name := "_with-" + export.Partition(p.Neighbour) + ".json"
	path := filepath.Join(dir, name)
	before, now := new(joined), &joined{Schema: Schema, Caution: caution, Program: program(), Railway: p.Railway, Box: p.Box, Neighbour: p.Neighbour, Years: []joinedYear{}}
	if _, err := readManifest(path, before); err != nil {
		p.err = err
		return
	}
	var fresh []Part
	same := true
	j := &joining{pair: p, dir: dir, label: labels{p.Railway, p.Box, p.a.m.Zone}}
	defer j.close()
	for _, y := range p.years() {
		i := slices.IndexFunc(before.Years, func(o joinedYear) bool { return o.Year == y.Year && o.MadeFrom == y.MadeFrom })
		if i >= 0 && before.Program == now.Program && !anew && asWritten(path) && whole(dir, name, before.Years[i].Parts) {
			y = before.Years[i]
		} else if p.err = j.year(ctx, &y); p.err != nil {
			return
		} else {
			fresh, same = append(fresh, y.Parts...), same && i >= 0 && before.Program == now.Program
		}
		now.Years = append(now.Years, y)
		p.Bells += y.Bells
	}
	if p.State = Unchanged; len(fresh) > 0 || len(now.Years) != len(before.Years) {
		p.State = Gathered
		s := settling{dir: dir, manifest: name, fresh: fresh, had: before.parts(), now: now.parts(), same: same, edited: same && !asWritten(path)}
		p.err = s.settle(now)
	}
}

func (j *joined) parts() (all []Part) {
	for _, y := range j.Years {
		all = append(all, y.Parts...)
	}
	return all
}

// years are those in which both books have entries.
func (p *Pair) years() (out []joinedYear) {
	digest := func(m *Manifest, year int) (all string) {
		for _, part := range m.Parts {
			if part.Table == Entries && part.Year == year {
				all += part.SHA256
			}
		}
		return all
	}
	for _, part := range p.a.m.Parts {
		x, y := digest(p.a.m, part.Year), digest(p.b.m, part.Year)
		if x != "" && y != "" && !slices.ContainsFunc(out, func(o joinedYear) bool { return o.Year == part.Year }) {
			out = append(out, joinedYear{Year: part.Year, MadeFrom: store.Digest(x + y)})
		}
	}
	return out
}

// joining has the two registers open while years are made.
type joining struct {
	pair  *Pair
	dir   string
	label labels
	a, b  *register.Reader
}

func (j *joining) open() (err error) {
	if j.a == nil {
		j.a, err = j.pair.a.of.open()
	}
	if j.b == nil && err == nil {
		j.b, err = j.pair.b.of.open()
	}
	return err
}

func (j *joining) close() {
	for _, r := range []*register.Reader{j.a, j.b} {
		if r != nil {
			r.Close()
		}
	}
}

// year lays the books of a year side by side, month by month, so that no more than a
// month of them is held.
func (j *joining) year(ctx context.Context, y *joinedYear) error {
	if err := j.open(); err != nil {
		return err
	}
	name := "." + export.Partition(j.pair.Neighbour)
	bells := table[bell]{dir: j.dir, name: Bells + name, label: j.label}
	clocks := table[clock]{dir: j.dir, name: Clocks + name, label: j.label}
	_, err := bells.of(y.Year) // also if no row comes
	if err == nil {
		_, err = clocks.of(y.Year)
	}
	for month := time.January; month <= time.December && err == nil; month++ {
		err = j.month(ctx, y, month, &bells, &clocks)
	}
	for _, finish := range []func() ([]Part, error){bells.finish, clocks.finish} {
		if err == nil {
			var parts []Part
			parts, err = finish()
			y.Parts = append(y.Parts, parts...)
		}
	}
	if err != nil {
		bells.abandon()
		clocks.abandon()
	}
	return err
}

// month lays a month of the books side by side, with a day before and after it as far as
// they are of the year: what rang at midnight is of two days by two clocks.
func (j *joining) month(ctx context.Context, y *joinedYear, month time.Month, bells *table[bell], clocks *table[clock]) error {
	first := time.Date(y.Year, month, 1, 0, 0, 0, 0, time.UTC)
	next := first.AddDate(0, 1, 0)
	from, to := calendar.DayOf(first.AddDate(0, 0, -1)), calendar.DayOf(next)
	if month == time.January {
		from = calendar.DayOf(first)
	}
	if month == time.December {
		to = calendar.DayOf(next.AddDate(0, 0, -1))
	}
	var books [2]*compare.Book
	for i, r := range []*register.Reader{j.a, j.b} {
		var err error
		if books[i], err = compare.FromStore(ctx, r.File(), r.Store(), from, to); err != nil || books[i].Entries == 0 {
			return err
		}
	}
	p, err := compare.Two(books[0], books[1])
	if err != nil {
		return err
	}
	zone := j.a.Location()
	of := func(at block.Time) (calendar.Day, bool) {
		day := calendar.Of(at, zone)
		return day, day >= calendar.DayOf(first) && day < calendar.DayOf(next)
	}
	for m := range p.Matches() {
		if day, ok := of(m.First.At); ok {
			y.Bells++
			if err := bells.put(y.Year, bellRow(j, y.Year, day, &m)); err != nil {
				return err
			}
		}
	}
	for _, c := range p.Clocks {
		if day, ok := of(c.From); ok {
			if err := clocks.put(y.Year, clockRow(j, y.Year, day, &c)); err != nil {
				return err
			}
		}
	}
	return nil
}

func (j *joining) whose(year int) whose { return whose{j.pair.Railway, j.pair.Box, int32(year)} }

func bellRow(j *joining, year int, day calendar.Day, m *compare.Match) bell {
	return bell{
		whose: j.whose(year), Neighbour: j.pair.Neighbour, Day: export.EpochDay(day), At: micro(m.First.At), NeighbourAt: micro(m.Second.At),
		Entry: m.First.Seq, NeighbourEntry: m.Second.Seq, Code: string(m.Code), Sent: m.Sent, Train: export.OrNull(m.Train),
		Differs: int64(m.Second.At - m.First.At), Clock: m.Ahead,
	}
}

func clockRow(j *joining, year int, day calendar.Day, c *compare.Clock) clock {
	return clock{
		whose: j.whose(year), Neighbour: j.pair.Neighbour, Day: export.EpochDay(day), From: micro(c.From), To: micro(c.To),
		Ahead: c.Middle(), Drift: c.Drift, Spread: c.Spread, Matched: int64(c.Matched),
	}
}
