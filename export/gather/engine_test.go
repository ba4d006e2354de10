package gather

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// The engines come as packages of npm, into a folder of the user's cache. Where there is
// no npm their tests are skipped; where FAIRHAND_ENGINES names them (CI does) they are
// not.
var enginePackages = map[string]string{"duckdb": "@duckdb/node-api@1.5.6-r.1", "clickhouse": "chdb@3.4.0"}

// modules is the folder of the packages of an engine, installed when it is missing.
func modules(t *testing.T, engine string) string {
	t.Helper()
	must := slices.Contains(strings.Split(os.Getenv("FAIRHAND_ENGINES"), ","), engine)
	missing := func(err error) string {
		if must {
			t.Fatalf("%s is asked for by FAIRHAND_ENGINES: %v", engine, err)
		}
		t.Skipf("no %s: %v", engine, err)
		return ""
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		return missing(err)
	}
	pkg := enginePackages[engine]
	dir := filepath.Join(cache, "fairhand-engines", strings.NewReplacer("/", "-", "@", "-").Replace(pkg))
	if _, err := os.Stat(dir); err == nil {
		return dir
	}
	if testing.Short() && !must {
		t.Skip("not installed, and -short")
	}
	if err := os.MkdirAll(filepath.Dir(dir), 0o755); err != nil {
		return missing(err)
	}
	tmp, err := os.MkdirTemp(filepath.Dir(dir), "new-")
	if err != nil {
		return missing(err)
	}
	defer os.RemoveAll(tmp)
	if out, err := exec.Command("npm", "install", "--no-audit", "--no-fund", "--ignore-scripts", "--prefix", tmp, pkg).CombinedOutput(); err != nil {
		return missing(fmt.Errorf("npm install %s: %w: %s", pkg, err, out))
	}
	if err := os.Rename(tmp, dir); err != nil {
		if _, there := os.Stat(dir); there != nil {
			return missing(err)
		}
	}
	return dir
}

// answer is what an engine says to a question, each value as text.
type answer struct {
	Columns []string `json:"columns"`
	Rows    [][]any  `json:"rows"`
	MS      int      `json:"ms"`
}

// ask puts questions about a collection to an engine.
func ask(t *testing.T, engine, out string, questions map[string]string) map[string]*answer {
	t.Helper()
	views, err := Views(engine, out)
	if err != nil {
		t.Fatal(err)
	}
	in, err := json.Marshal(map[string]any{"set": views, "ask": questions})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", filepath.Join("testdata", engine+".cjs"))
	cmd.Env = append(os.Environ(), "NODE_PATH="+filepath.Join(modules(t, engine), "node_modules"))
	cmd.Stdin = bytes.NewReader(in)
	var said, faults bytes.Buffer
	cmd.Stdout, cmd.Stderr = &said, &faults
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s: %v: %s", engine, err, &faults)
	}
	dec := json.NewDecoder(&said)
	dec.UseNumber()
	var got map[string]*answer
	if err := dec.Decode(&got); err != nil {
		t.Fatalf("%s said no JSON: %v", engine, err)
	}
	return got
}

// questions are all the SQL files; a train's way is asked of every train.
func questions(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{}
	for _, name := range Queries() {
		text, err := Query(name)
		if err != nil {
			t.Fatal(err)
		}
		all[name] = text
	}
	return all
}

var moment = regexp.MustCompile(`^(\d{4}-\d\d-\d\d \d\d:\d\d:\d\d)(\.0+)?(\+00)?$`)

// text is a value as both engines have it.
func text(v any) string {
	switch x := v.(type) {
	case nil:
		return "null"
	case json.Number:
		return number(x.String())
	case string:
		if m := moment.FindStringSubmatch(x); m != nil {
			return m[1]
		}
		return number(x)
	}
	return fmt.Sprint(v)
}

// number is a number without what is after the fourth decimal, and any other text as it is.
func number(s string) string {
	f, err := strconv.ParseFloat(s, 64)
	if err != nil {
		return s
	}
	return strconv.FormatFloat(f, 'f', -1, 64)
}

// lines are the rows of an answer as text, for comparison.
func (a *answer) lines() []string {
	out := []string{strings.Join(a.Columns, "|")}
	for _, r := range a.Rows {
		var cells []string
		for _, v := range r {
			cells = append(cells, text(v))
		}
		out = append(out, strings.Join(cells, "|"))
	}
	return out
}
