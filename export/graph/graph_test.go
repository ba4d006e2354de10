package graph

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/register"
	"fairhand/register/registertest"
)

var update = flag.Bool("update", false, "rewrite the golden graphs")

const demo = "../../cmd/fairhand/demo/"

// demoDay is the whole day of the invented box Ennerholme, with its timetable.
func demoDay(t testing.TB) *register.Day {
	t.Helper()
	box, book := registertest.Demo(t, "../..")
	d := registertest.Day(t, box, book, 0)
	table, err := os.Open(demo + "weekday.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer table.Close()
	if d.Timetable, err = register.ReadTimetable(table, d.Box); err != nil {
		t.Fatal(err)
	}
	return d
}

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")); diff != "" {
		t.Errorf("%s (-want +got):\n%s", name, diff)
	}
}

// TestGolden draws the demo day; -update rewrites the files, to be looked at
// before they are believed.
func TestGolden(t *testing.T) {
	g := Of(demoDay(t))
	var svg bytes.Buffer
	if err := g.SVG(&svg, SVGOptions{Alone: true}); err != nil {
		t.Fatal(err)
	}
	golden(t, "graph.svg", svg.Bytes())
}

func TestGoldenText(t *testing.T) {
	golden(t, "graph.txt", []byte(Of(demoDay(t)).Text(110, 0)))
}
