package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"
	"github.com/spf13/cobra"

	"fairhand/cmd/fairhand/schema"
)

var update = flag.Bool("update", false, "write the schemas anew")

// TestSchemas: the schemas kept in the repository are those of the types printed.
func TestSchemas(t *testing.T) {
	comments, err := readComments(".", "../../export", "../../export/gather", "../../export/graph", "../../register/audit", "../../register/sheet")
	if err != nil {
		t.Fatal(err)
	}
	d := deriver{comments: comments}
	types := map[string]reflect.Type{}
	for of, name := range printed {
		types[name] = of
	}
	for _, f := range schema.Forms {
		var want bytes.Buffer
		enc := json.NewEncoder(&want)
		enc.SetEscapeHTML(false)
		enc.SetIndent("", "  ")
		if err := enc.Encode(d.derive(f.Name, f.Of, types[f.Name])); err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("schema", f.Name+".json")
		if *update {
			if err := os.WriteFile(path, want.Bytes(), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		if got, err := os.ReadFile(path); err != nil || !bytes.Equal(got, want.Bytes()) {
			t.Errorf("%s is not the schema of the type any more (%v): go test ./cmd/fairhand -run Schemas -update, and read the difference", path, err)
		}
	}
	if len(printed) != len(schema.Forms) || len(types) != len(printed) {
		t.Errorf("%d types with %d names, and %d forms", len(printed), len(types), len(schema.Forms))
	}
}

// TestEveryJSONHasASchema: whatever command has the flag --json has a schema, and no command
// writes JSON but by program.json, which names it.
func TestEveryJSONHasASchema(t *testing.T) {
	var with []string
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Flags().Lookup("json") != nil {
			name := strings.TrimPrefix(c.CommandPath(), "fairhand ")
			of, _, _ := strings.Cut(name, " ")
			if with = append(with, of); slices.ContainsFunc(schema.Forms, func(f schema.Form) bool { return f.Of == name }) {
				with = append(with, name) // the one of its own
			}
		}
		for _, sub := range c.Commands() {
			walk(sub)
		}
	}
	walk((&program{}).root())
	files, err := filepath.Glob("*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(len(files), err)
	}
	for _, file := range files {
		if text := read(t, file); file != "json.go" && !strings.HasSuffix(file, "_test.go") && bytes.Contains(text, []byte(`"encoding/json"`)) {
			t.Errorf("%s writes JSON itself: program.json says its schema", file)
		}
	}
	for _, name := range with {
		if _, err := schema.Text(name); err != nil {
			t.Errorf("fairhand %s --json: %v", name, err)
		}
	}
	for _, f := range schema.Forms {
		for _, name := range f.Commands() {
			if name != "export" && !slices.Contains(with, name) { // it has --format json
				t.Errorf("%s is of fairhand %s, which has no --json", f.Name, name)
			}
		}
	}
}

// stage is a place to run the program in.
type stage struct {
	*testing.T
	schemas map[string]*jsonschema.Schema
	seen    map[string]int
	input   string // standard input of the program
}

// run runs the program and gives what it printed; more than findings is a failure.
func (s *stage) run(args ...string) []byte {
	s.Helper()
	var out, notes bytes.Buffer
	if code := run(context.Background(), args, strings.NewReader(s.input), &out, &notes); code != exitFine && code != exitFindings {
		s.Fatalf("fairhand %s: exit code %d: %s", strings.Join(args, " "), code, &notes)
	}
	return out.Bytes()
}

// check runs a command and holds each object it prints to the schema.
func (s *stage) check(name string, args ...string) {
	s.Helper()
	s.valid(name, s.run(args...), args)
}

func (s *stage) valid(name string, out []byte, args []string) {
	s.Helper()
	dec := json.NewDecoder(bytes.NewReader(out))
	dec.UseNumber()
	for dec.More() {
		var v any
		if err := dec.Decode(&v); err != nil {
			s.Fatalf("fairhand %s: %v", strings.Join(args, " "), err)
		}
		if err := s.schemas[name].Validate(v); err != nil {
			s.Errorf("fairhand %s: %#v", strings.Join(args, " "), err)
		}
		if o, ok := v.(map[string]any); !ok || o["schema"] != name {
			s.Errorf("fairhand %s: what it prints does not say that it is of %s: %v", strings.Join(args, " "), name, v)
		}
		if s.seen[name]++; s.seen[name] == 1 {
			s.refuses(name, v)
		}
	}
}

// refuses spoils a document that is right, one key or value at a time and as deep as it
// goes, and wants each to be refused: a schema that took anything would find no fault.
func (s *stage) refuses(name string, doc any) {
	s.Helper()
	tried := 0
	wrong := func(how, path string) {
		if tried++; s.schemas[name].Validate(doc) == nil {
			s.Errorf("%s takes a document with %s at %s", name, how, path)
		}
	}
	var walk func(v any, path string)
	walk = func(v any, path string) {
		switch x := v.(type) {
		case map[string]any:
			x["not_a_key"] = []any{}
			wrong("a key more", path)
			delete(x, "not_a_key")
			for key, was := range x {
				if was != nil { // where nothing stands something may
					x[key] = json.Number("17")
					if _, ok := was.(json.Number); ok {
						x[key] = "seventeen"
					}
					wrong("a value of another type", path+"/"+key)
				}
				x[key] = was
				walk(was, path+"/"+key)
			}
		case []any:
			if len(x) > 0 {
				walk(x[0], path+"/0")
			}
		}
	}
	walk(doc, "")
	needed := 0
	for key, was := range doc.(map[string]any) {
		if delete(doc.(map[string]any), key); s.schemas[name].Validate(doc) != nil {
			needed++
		}
		doc.(map[string]any)[key] = was
	}
	if tried < 2 || needed == 0 {
		s.Errorf("%s: %d wrong documents tried; of the keys at its top it needs %d", name, tried, needed)
	}
}

// strict is a schema that takes no key it does not name: a program may meet more, we
// may print none that is not in it.
func strict(v any) {
	switch x := v.(type) {
	case map[string]any:
		if _, ok := x["properties"]; ok {
			x["additionalProperties"] = false
		}
		for _, under := range x {
			strict(under)
		}
	case []any:
		for _, under := range x {
			strict(under)
		}
	}
}

func newStage(t *testing.T) *stage {
	s := &stage{T: t, schemas: map[string]*jsonschema.Schema{}, seen: map[string]int{}}
	c := jsonschema.NewCompiler()
	c.AssertFormat()
	for _, f := range schema.Forms {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(s.run("help", "schema", f.Name)))
		if err != nil {
			t.Fatal(err)
		}
		strict(v)
		if err := c.AddResource("urn:fairhand:"+f.Name, v); err != nil {
			t.Fatal(err)
		}
		if s.schemas[f.Name], err = c.Compile("urn:fairhand:" + f.Name); err != nil {
			t.Fatal(err)
		}
	}
	return s
}

// TestOutputFitsSchemas: what every command prints with --json is of its schema, as a
// validator for any schema says.
func TestOutputFitsSchemas(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("HOME", dir)
	t.Setenv("XDG_CONFIG_HOME", dir)
	s := newStage(t)
	at := func(name string) string { return filepath.Join(dir, name) }
	demo := at("demo")
	s.check("fairhand-box-1", "demo", "--no-desk", "--json", demo)
	in := func(name string, args ...string) { t.Helper(); s.check(name, append([]string{"-C", demo}, args...)...) }
	in("fairhand-day-1", "day", "--json")
	in("fairhand-seal-1", "seal", "key", "--json")
	in("fairhand-seal-1", "seal", "now", "--json")
	in("fairhand-seal-1", "seal", "words", "--json")
	in("fairhand-seal-1", "seal", "check", "--json", filepath.Join(demo, "seal-167.txt"))
	in("fairhand-day-1", "export", "--format", "json", "--date", "2026-05-05")
	in("fairhand-graph-1", "graph", "--json")
	s.check("fairhand-gather-1", "gather", at("line"), demo, "--json")
	for _, which := range [][]string{{}, {"people"}, {"duckdb", at("line")}} {
		s.check("fairhand-question-1", append([]string{"gather", "sql", "--json"}, which...)...)
	}
	if runtime.GOOS != "windows" { // a printer that is none
		if err := os.WriteFile(at("lp"), []byte("#!/bin/sh\n"), 0o700); err != nil {
			t.Fatal(err)
		}
		t.Setenv("PATH", dir+string(os.PathListSeparator)+os.Getenv("PATH"))
		in("fairhand-print-1", "print", "--json")
	}
	s.input = "a long one\na long one\n"
	in("fairhand-log-1", "pin", "--json", "A. Fell")
	s.input = ""
	in("fairhand-handover-1", "handover", "--json")
	in("fairhand-audit-1", "audit", "--json")
	in("fairhand-audit-1", "audit", "--json", "--from", "2026-05-05", "--all")
	in("fairhand-findings-1", "findings", "--json")
	in("fairhand-verify-1", "verify", "--json")
	in("fairhand-copy-1", "backup", "--json", at("copy.db"))
	in("fairhand-copy-1", "backup", "--json", "--copies", t.TempDir())
	in("fairhand-copy-1", "restore", "--json", at("copy.db"))
	in("fairhand-codes-1", "codes", "--json")
	in("fairhand-config-1", "config", "--json")
	in("fairhand-log-1", "log", "--json", `correct 5 "06:05 note \"otherwise\""`)
	in("fairhand-log-1", "log", "--json", "--dry-run", "Saltgarth >2 <2 train 9Z99")
	in("fairhand-salvage-1", "salvage", "--json", at("whole"))
	s.check("fairhand-rules-1", "rules", "--json")
	s.check("fairhand-version-1", "version", "--json")
	s.written(dir)
	for _, name := range printed {
		if s.seen[name] == 0 && (name != "fairhand-print-1" || runtime.GOOS != "windows") {
			t.Errorf("nothing of %s was printed", name)
		}
	}
}

// written is what is printed of books, and of a year that is over.
func (s *stage) written(dir string) {
	at := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string]string{
		"a/box.yaml": "box: Ash\ntimezone: Europe/London\nrules: british-later\nsections:\n  - neighbour: Elm\n    method: absolute\n    lines: [{name: Up, way: out}, {name: Down, way: in}]\n",
		"b.yaml":     "box: Elm\ntimezone: Europe/London\nrules: british-later\nsections:\n  - neighbour: Ash\n    method: absolute\n    lines: [{name: Up, way: in}, {name: Down, way: out}]\n",
		"a.txt":      "date 2025-05-05\n08:00 duty on \"A. Fell\"\n08:05 Elm >1 <1 >3-1 <3-1 train 2A01\n08:07 Elm >2 <2\n08:12 Elm <1 >1 <2-1 >2-1\n08:30 Elm >2 <2 train 9Z99\n08:40 duty off \"A. Fell\"\n",
		"b.txt":      "date 2025-05-05\n08:05 Ash <1 >1 <3-1 >3-1 train 2A01\n08:07 Ash <2 >2\n08:12 Ash >1 <1 >2-1 <2-1\n",
	} {
		if err := os.MkdirAll(filepath.Dir(at(name)), 0o700); err != nil {
			s.Fatal(err)
		}
		if err := os.WriteFile(at(name), []byte(text), 0o600); err != nil {
			s.Fatal(err)
		}
	}
	s.check("fairhand-check-1", "check", "--json", "--box", at("a/box.yaml"), at("a.txt"))
	s.check("fairhand-compare-1", "compare", "--json", at("a/box.yaml")+":"+at("a.txt"), at("b.yaml")+":"+at("b.txt"))
	s.check("fairhand-audit-1", "audit", "--json", "--box", at("a/box.yaml"), at("a.txt"))
	s.check("fairhand-import-1", "-C", at("a"), "import", "--create", "--json", at("a.txt"))
	s.run("-C", at("a"), "seal", "key")
	volume := filepath.Join(at("a"), "archive", "archive-2025.db")
	for _, args := range [][]string{{"close", "2025"}, {"check", volume}, {"hold", volume, "an inquiry"}, {"due"}, {"release", volume, "it is over"}, {"due"}} {
		s.check("fairhand-volume-1", append([]string{"-C", at("a"), "archive", args[0], "--json"}, args[1:]...)...)
	}
	path := filepath.Join(at("a"), "register.db")
	data, err := os.ReadFile(path)
	if err != nil {
		s.Fatal(err)
	}
	data[bytes.Index(data, []byte("9Z99"))] = '8'
	if err := os.WriteFile(path, data, 0o600); err != nil {
		s.Fatal(err)
	}
	s.check("fairhand-salvage-1", "-C", at("a"), "salvage", "--json", at("saved"))
}
