package audit

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
	"fairhand/register/each"
	"fairhand/register/notation"
)

// Filter chooses the findings that a report counts and tells; everything else in
// it is that of the whole book. The zero Filter chooses all.
type Filter struct {
	Rules       []rulebook.RuleID
	Least       rulebook.Severity // the least severity
	Person      string            // on duty
	Section     string            // name of the neighbour
	Unexplained bool              // only those that nobody has explained
}

// chooses leaves out of account whose turn it was: one person is compared with the others.
func (f *Filter) chooses(x *block.Finding, explained bool) bool {
	return (len(f.Rules) == 0 || slices.Contains(f.Rules, x.Rule)) && x.Severity >= f.Least &&
		(f.Section == "" || f.Section == x.Section) && (!f.Unexplained || !explained)
}

// ErrNotKnown is the error for a filter by a name that the book does not know. A report
// without findings would read as a clean bill.
var ErrNotKnown = errors.New("the book knows no such name")

// known is an error for a person who was not on duty in these days and is none of the
// box's people, and for a section that it does not have and that nothing was found of.
func (f *Filter) known(r *Report, box *block.Box) error {
	people := append(each.Of(r.People, func(p Person) string { return p.Name }), each.Of(box.People, func(p block.Person) string { return p.Name })...)
	sections := each.Of(r.Sections, func(p Place) string { return p.Section })
	for i := range box.Sections {
		sections = append(append(sections, box.Sections[i].Neighbour), box.Sections[i].LongSection...)
	}
	for _, x := range []struct {
		what, name string
		of         []string
	}{{"a turn of", f.Person, people}, {"a section to", f.Section, sections}} {
		if x.name == "" || slices.Contains(x.of, x.name) {
			continue
		}
		if near := notation.Nearest(x.name, x.of); near != "" {
			return fmt.Errorf("%s %q: %w; did you mean %q?", x.what, x.name, ErrNotKnown, near)
		}
		return fmt.Errorf("%s %q: %w", x.what, x.name, ErrNotKnown)
	}
	return nil
}

// String says in words what is chosen; empty for all.
func (f *Filter) String() string {
	var parts []string
	if len(f.Rules) > 0 {
		parts = append(parts, "of "+each.Joined(f.Rules, ", ", func(id rulebook.RuleID) string { return string(id) }))
	}
	if f.Least > rulebook.Advice {
		parts = append(parts, "not less than "+f.Least.String())
	}
	if f.Person != "" {
		parts = append(parts, "in the turns of "+f.Person)
	}
	if f.Section != "" {
		parts = append(parts, "of the section to "+f.Section)
	}
	if f.Unexplained {
		parts = append(parts, "not explained")
	}
	return strings.Join(parts, ", ")
}

// LastSigned is the register day of the last signature of somebody who examined
// the book, 0 when there is none.
func LastSigned(ctx context.Context, src Source) (day calendar.Day, err error) {
	s, err := src.span(ctx, 0, 0, 0)
	if err != nil {
		return 0, err
	}
	sub := src.about()
	for e, err := range src.entries(ctx, s) {
		if err != nil {
			return 0, fmt.Errorf("looking for the last signature: %w", err)
		}
		if e.Event.Kind != block.Sign {
			continue
		}
		if on := sub.restsOn(&e.Event); on.fits {
			if day = e.Day; on.head != 0 && on.head < e.Event.Seq {
				day = min(day, on.day)
			}
		}
	}
	return day, nil
}
