package register

import (
	"os"
	"strings"
	"testing"

	"fairhand/register/boxfile"
)

// FuzzTimetable: no timetable breaks its reader, and what is read has trains with a
// name and a time.
func FuzzTimetable(f *testing.F) {
	text, err := os.ReadFile("../cmd/fairhand/demo/box.yaml")
	if err != nil {
		f.Fatal(err)
	}
	file, err := boxfile.Decode(strings.NewReader(string(text)), "box.yaml")
	if err != nil {
		f.Fatal(err)
	}
	weekday, err := os.ReadFile("../cmd/fairhand/demo/weekday.csv")
	if err != nil {
		f.Fatal(err)
	}
	f.Add(string(weekday))
	f.Add("train,beats,from,to,arrive,depart,place\n2A01,3-1,Saltgarth,Coldbeck,24:10,,\n")
	f.Fuzz(func(t *testing.T, text string) {
		list, err := ReadTimetable(strings.NewReader(text), file.Box)
		if err != nil {
			return
		}
		for _, b := range list {
			if b.Train == "" || b.Arrive == NotBooked && b.Depart == NotBooked {
				t.Errorf("a train without a name or a time: %+v", b)
			}
		}
	})
}
