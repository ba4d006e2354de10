package audit

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register/calendar"
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

func (f *Filter) chooses(x *block.Finding, person string, explained bool) bool {
	return (len(f.Rules) == 0 || slices.Contains(f.Rules, x.Rule)) && x.Severity >= f.Least &&
		(f.Person == "" || f.Person == person) && (f.Section == "" || f.Section == x.Section) && (!f.Unexplained || !explained)
}

// String says in words what is chosen; empty for all.
func (f *Filter) String() string {
	var parts []string
	if len(f.Rules) > 0 {
		var ids []string
		for _, id := range f.Rules {
			ids = append(ids, string(id))
		}
		parts = append(parts, "of "+strings.Join(ids, ", "))
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
