package gather

import (
	"embed"
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"fairhand/register/each"
)

//go:embed sql/*.sql
var sqlFiles embed.FS

// differ tells, of each train at a box of hops, what the clock there was ahead of that of
// the box before, by the bells that both books have. Of hops it needs before_box, and a
// moment by either clock: at_here, at_before.
//
//go:embed differ.sql
var differ string

// Queries names the questions that an office asks of a collection, in order. Each is one
// statement over the tables, the same for every engine.
func Queries() []string {
	list, _ := sqlFiles.ReadDir("sql") // embedded
	return each.Of(list, func(f fs.DirEntry) string { return strings.TrimSuffix(f.Name(), ".sql") })
}

// Query is the text of a question. The error names those there are.
func Query(name string) (string, error) {
	if !slices.Contains(Queries(), name) {
		return "", fmt.Errorf("there is no question %q; there are %s", name, strings.Join(Queries(), ", "))
	}
	text, err := sqlFiles.ReadFile("sql/" + name + ".sql")
	return strings.Replace(string(text), "{{differ}}", strings.TrimSuffix(differ, "\n"), 1), err
}

// Asks is the first sentence of a question, which its text begins with.
func Asks(name string) string {
	text, _ := Query(name)
	var words []string
	for line := range strings.Lines(text) {
		said, ok := strings.CutPrefix(strings.TrimSuffix(line, "\n"), "-- ")
		if !ok {
			break
		}
		words = append(words, said)
	}
	first, _, _ := strings.Cut(strings.Join(words, " "), ". ")
	return strings.TrimSuffix(first, ".")
}

// engine is how an engine makes the tables of a collection out of its files.
type engine struct {
	name  string
	set   []string // statements before
	files string   // a query over files: their glob, as text of SQL
}

var engines = []engine{
	{"duckdb", []string{"SET TimeZone = 'UTC'"}, "SELECT * FROM read_parquet(%s, hive_partitioning = true)"},
	// It takes the names in paths as they are, with %20: the rows have them right.
	{"clickhouse", []string{"SET use_hive_partitioning = 0", "SET join_use_nulls = 1", "SET cast_keep_nullable = 1"}, "SELECT * FROM file(%s, 'Parquet')"},
}

// Engines names the engines that Views knows.
func Engines() []string { return each.Of(engines, func(e engine) string { return e.name }) }

// Views are the statements by which an engine sees the files of a collection as its
// tables; out is its folder as the engine is to call it. The error names the engines.
func Views(name, out string) ([]string, error) {
	i := slices.IndexFunc(engines, func(e engine) bool { return e.name == name })
	if i < 0 {
		return nil, fmt.Errorf("there is no engine %q; there are %s", name, strings.Join(Engines(), ", "))
	}
	e := engines[i]
	list := slices.Clone(e.set)
	for _, t := range Tables() {
		glob := path.Join(out, "**", t+"*.parquet")
		if t == Boxes {
			glob = path.Join(out, t+".parquet")
		}
		list = append(list, fmt.Sprintf("CREATE OR REPLACE VIEW %s AS "+e.files, t, "'"+strings.ReplaceAll(glob, "'", "''")+"'"))
	}
	return list, nil
}
