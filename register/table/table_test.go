package table

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"fairhand/register/notation"
)

// Each entry stands on its line of the table, whatever order the columns have and
// whichever of the two signs stands between the fields.
func TestBookOfATable(t *testing.T) {
	for name, src := range map[string]string{
		"commas":            "date,time,entry,section,direction,beats,train,written\n2026-05-05,10:41,,Coldbeck,Received,3-1,2P07,\n,10:43:20,\"note \"\"late\"\"\",,,,,10:55\n",
		"semicolons":        "time; DATE ;beats;section;direction;train;entry;written\n10:41;2026-05-05;3-1;Coldbeck;received;2P07;;\n10:43:20;;;;;;note \"late\";10:55\n",
		"a byte order mark": "\ufeffdate,time,entry,section,direction,beats,train,written\n2026-05-05,10:41,,Coldbeck,received,3-1,2P07,\n,10:43:20,note \"late\",,,,,10:55\n",
	} {
		book, faults, err := Book(strings.NewReader(src))
		if err = WithFaults(faults, err); err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		text, err := io.ReadAll(book)
		if err != nil {
			t.Fatal(err)
		}
		const want = "\ndate 2026-05-05 ; 10:41 \"Coldbeck\" <3-1 train \"2P07\"\n10:43:20 note \"late\" written 10:55\n"
		if string(text) != want {
			t.Errorf("%s:\n%s\nwant\n%s", name, text, want)
		}
		events, err := notation.ParseAll(strings.NewReader(string(text)), time.UTC)
		if err != nil || len(events) != 2 || events[0].Seq != 2 || events[1].Seq != 3 {
			t.Errorf("%s: read back as %+v (%v)", name, events, err)
		}
	}
}

func TestFaultsOfATable(t *testing.T) {
	for src, want := range map[string]string{
		"":                                       "1: the table is empty",
		"date,time\n":                            "1: there must be a column entry, or the columns section, direction and beats",
		"date,entry\n":                           "1: the column time is missing; the first line names the columns",
		"date,time,entri\n":                      `1: there is no column "entri"; did you mean entry?`,
		"date,time,time,entry\n":                 "1: the column time is there twice",
		"date,time,entry\n,10:41,fog on\n":       "2: the first entry needs a date",
		"date,time,entry\n5/5/26,10:41,fog on\n": `2: "5/5/26" is no date; write it as 2026-05-05`,
		"date,time,entry\n2026-05-05,,fog on\n":  "2: the time is missing",
		"date,time,entry\n2026-05-05,10:41,note \"a, b\"\n":                                  "2: there are 4 fields and 3 columns; a comma in a field needs quotation marks around it",
		"date,time,entry,section,direction,beats\n2026-05-05,10:41,,Coldbeck,up,1\n":         `2: the direction "up" is neither sent nor received`,
		"date,time,entry,section,direction,beats\n2026-05-05,10:41,,Coldbeck,sent,\n":        "2: a bell signal needs section, direction and beats; beats is missing",
		"date,time,entry,section,direction,beats\n2026-05-05,10:41,fog on,Coldbeck,sent,1\n": "2: entry and the columns of a bell signal are both filled; one of them says what happened",
		"date,time,entry\n2026-05-05,10:41,\n":                                               "2: nothing says what happened; fill the column entry",
		"date,time,entry\n2026-05-05,10:41,\"fog\non\"\n":                                    "2: a field has two lines; write each entry on a line of its own",
	} {
		_, found, err := Book(strings.NewReader(src))
		err = WithFaults(found, err)
		var faults notation.Errors
		if !errors.As(err, &faults) || len(faults) != 1 || faults[0].Column != 0 {
			t.Errorf("%q: %v, want one fault without a column", src, err)
			continue
		}
		if got := fmt.Sprintf("%d: %s", faults[0].Line, faults[0].Problem); got != want {
			t.Errorf("%q: %s, want %s", src, got, want)
		}
	}
}

// All faults of a table are told at once, in the order of its lines: those of the table
// and those of the book made of it, which have no columns.
func TestAllFaultsAtOnce(t *testing.T) {
	const src = "date,time,entry,section,direction,beats\n" +
		"2026-05-05,10:41,fogg on,,,\n" + // no entry
		"2026-05-05,10:42,,Coldbeck,up,1\n" + // no direction
		"5/5/26,10:77,fog on,,,\n" + // neither date nor time
		",10:44,,Coldbeck,sent,3.1\n" + // no code
		",,fog off,,,\n"
	book, found, err := Book(strings.NewReader(src))
	if err != nil {
		t.Fatal(err)
	}
	_, err = notation.ParseAll(book, time.UTC)
	var faults notation.Errors
	if !errors.As(WithFaults(found, err), &faults) {
		t.Fatalf("%v", err)
	}
	var lines []int
	for _, f := range faults {
		lines = append(lines, f.Line)
		if f.Column != 0 {
			t.Errorf("line %d: column %d is not of the table", f.Line, f.Column)
		}
	}
	if want := []int{2, 3, 4, 4, 5, 6}; !slices.Equal(lines, want) {
		t.Errorf("faults in lines %v, want %v: %v", lines, want, faults)
	}
	if err := WithFaults(nil, nil); err != nil {
		t.Errorf("no faults: %v", err)
	}
}
