package export

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"html"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fairhand/export/graph"
	"fairhand/register"
	"fairhand/register/audit"
	"fairhand/register/registertest"
)

// framed is a page as it stands in a window of a width, in pixels of 96 to the inch.
type framed struct {
	name  string
	page  string
	width int
	wide  bool // what is in a box of its own that scrolls may be wider
}

// Widths of paper between the margins of page.css, and of a telephone and half a screen.
const (
	uprightPaper, acrossPaper = 718, 1047
	telephone, halfScreen     = 360, 640
)

// frameJS tells of each frame what stands beyond its right edge, and which words of a
// picture stand beyond the picture.
const frameJS = `onload=()=>{const out=[];for(const f of document.querySelectorAll("iframe")){const d=f.contentDocument,w=d.documentElement.clientWidth,cut=[];
for(const e of d.body.querySelectorAll("*")){if(e.closest("svg")||f.dataset.wide&&e.closest(".wide"))continue;const r=e.getBoundingClientRect();if(r.width&&r.right>w+1)cut.push(e.tagName+" "+e.className+" to "+Math.round(r.right)+" of "+w+": "+e.textContent.trim().slice(0,60))}
for(const e of d.querySelectorAll("svg text")){const r=e.getBoundingClientRect(),s=e.closest("svg").getBoundingClientRect();if(r.right>s.right+1||r.left<s.left-1||r.bottom>s.bottom+1||r.top<s.top-1)cut.push("in the graph: "+e.textContent)}
out.push({name:f.title,width:w,cut,texts:d.body.textContent.length})}
document.getElementById("told").textContent=JSON.stringify(out)}`

// Nothing of a page stands beyond the edge of a telephone, of half a screen or of the
// paper, and nothing of a train graph beyond its own, however long names are: in a
// browser, which knows how wide letters are.
func TestNothingIsCut(t *testing.T) {
	path := browser(t)
	long := longBook(t)
	day, err := registertest.DayOf(long, 0)
	if err != nil {
		t.Fatal(err)
	}
	var all []framed
	for _, r := range append(reports(t), longReports(t, long, day)...) {
		var b bytes.Buffer
		if err := Draw(&b, "html", r.doc); err != nil {
			t.Fatal(err)
		}
		page, width := b.String(), acrossPaper
		if strings.Contains(page, "A4 portrait") {
			width = uprightPaper
		}
		all = append(all, framed{r.name + " on a telephone", page, telephone, true}, framed{r.name + " on half a screen", page, halfScreen, true},
			framed{r.name + " on paper", strings.ReplaceAll(page, "@media print", "@media all"), width, false})
	}
	for _, d := range []*register.Day{registertest.DemoDay(t, ".."), day} {
		var svg bytes.Buffer
		if err := graph.Of(d).SVG(&svg, graph.SVGOptions{Alone: true}); err != nil {
			t.Fatal(err)
		}
		all = append(all, framed{"graph of " + d.Box.Name, svg.String(), 2 * acrossPaper, true})
	}
	all = append(all, framed{"planted", `<svg width="90" height="20"><text x="60" y="15">beyond its edge</text></svg><p style="width:500px">wide`, telephone, true})
	told := inFrames(t, path, all)
	for i, f := range told {
		if f.Name == "planted" {
			if len(f.Cut) != 2 {
				t.Errorf("of two things cut %d were seen, so the others mean nothing: %v", len(f.Cut), f.Cut)
			}
			continue
		}
		if f.Width != all[i].width || f.Texts < 300 {
			t.Errorf("%s: %d pixels and %d letters", f.Name, f.Width, f.Texts)
		}
		if n := len(f.Cut); n > 0 {
			t.Errorf("%s: %d parts are cut: %s", f.Name, n, strings.Join(f.Cut[:min(n, 5)], "\n"))
		}
	}
}

// longBook is the book of the demonstration with names that are long.
func longBook(t *testing.T) *register.Book {
	t.Helper()
	box, book := registertest.Demo(t, "..")
	long := strings.NewReplacer("A. Fell", "Bartholomew Featherstonehaugh-Arkwright", "Platform 2", "Down Platform Loop beyond the Footbridge",
		"Saltgarth", "Saltgarth-under-Moor-Junction", "Ennerholme", "Ennerholme Old Junction and Yard")
	return registertest.Book(t, long.Replace(box), long.Replace(book))
}

// longReports are the reports made of it.
func longReports(t *testing.T, b *register.Book, day *register.Day) []report {
	t.Helper()
	r, err := audit.Run(context.Background(), audit.Register(b), audit.Options{})
	if err != nil {
		t.Fatal(err)
	}
	told := b.Handover(nil)
	return []report{
		{name: "a day of long names", doc: htmlDay(day)}, {name: "an audit of long names", doc: r.Document()},
		{name: "findings of long names", doc: r.FindingsDocument()}, {name: "a handover of long names", doc: told.Document()},
	}
}

type frameTold struct {
	Name  string   `json:"name"`
	Width int      `json:"width"`
	Texts int      `json:"texts"`
	Cut   []string `json:"cut"`
}

// inFrames shows pages in one window and gives what frameJS tells of them.
func inFrames(t *testing.T, path string, all []framed) []frameTold {
	t.Helper()
	var b strings.Builder
	b.WriteString(`<!DOCTYPE html><meta charset="utf-8"><style>iframe{border:0;height:600px;display:block}</style>`)
	for _, f := range all {
		wide := ""
		if f.wide {
			wide = ` data-wide="1"`
		}
		fmt.Fprintf(&b, "<iframe title=%q style=\"width:%dpx\"%s scrolling=no srcdoc=\"%s\"></iframe>\n", f.name, f.width, wide, html.EscapeString(f.page))
	}
	b.WriteString(`<pre id="told"></pre><script>` + frameJS + `</script>`)
	dir := t.TempDir()
	name := filepath.Join(dir, "frames.html")
	if err := os.WriteFile(name, []byte(b.String()), 0o600); err != nil {
		t.Fatal(err)
	}
	dom, _, _ := chromium(t, path, dir, "--window-size=1400,900", "--dump-dom", "file://"+name)
	_, rest, _ := strings.Cut(dom, `<pre id="told">`)
	said, _, _ := strings.Cut(rest, "</pre>")
	var told []frameTold
	if err := json.Unmarshal([]byte(html.UnescapeString(said)), &told); err != nil {
		t.Fatalf("%v: %.200s", err, said)
	}
	return told
}
