package block

import (
	"os/exec"
	"strings"
	"testing"

	"fairhand/block/rulebook"
)

// TestDiagramsAreReadByGraphviz gives each diagram to dot, the general tool for
// the format, where it is installed; without it the phases and the regular path
// of a train are still looked for.
func TestDiagramsAreReadByGraphviz(t *testing.T) {
	dot, missing := exec.LookPath("dot")
	for m := rulebook.Method(0); m < rulebook.MethodCount; m++ {
		text := Diagram(m)
		for _, p := range machines[m]().phases {
			if !strings.Contains(text, `"`+p.String()+`"`) {
				t.Errorf("%s: phase %s is not drawn", m, p)
			}
		}
		if m.Is().Offers && !m.Is().Described && !strings.Contains(text, `"line clear" -> "train in section" [label="train entering section"]`) {
			t.Errorf("%s: a regular train's way from line clear into the section is not drawn", m)
		}
		if missing != nil {
			continue
		}
		cmd := exec.Command(dot, "-Tsvg")
		cmd.Stdin = strings.NewReader(text)
		if out, err := cmd.CombinedOutput(); err != nil {
			t.Errorf("%s: dot refuses the diagram: %v\n%s", m, err, out)
		}
	}
	if missing != nil {
		t.Log("dot is not installed: only the text was looked at")
	}
}
