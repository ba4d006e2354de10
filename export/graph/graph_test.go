package graph

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"fairhand/register/registertest"
)

var update = flag.Bool("update", false, "rewrite the golden graphs")

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
	g := Of(registertest.DemoDay(t, "../.."))
	var svg bytes.Buffer
	if err := g.SVG(&svg, SVGOptions{Alone: true}); err != nil {
		t.Fatal(err)
	}
	golden(t, "graph.svg", svg.Bytes())
}

func TestGoldenText(t *testing.T) {
	golden(t, "graph.txt", []byte(Of(registertest.DemoDay(t, "../..")).Text(110, 0)))
}
