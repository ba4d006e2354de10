package export

import (
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// Every column and field that is written is in the schema documents of doc.go.
func TestSchemasAreDocumented(t *testing.T) {
	data, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	parts := strings.Split(string(data), "// # ")
	section := func(head string) string {
		for _, p := range parts {
			if strings.HasPrefix(p, head) {
				return p
			}
		}
		t.Fatalf("doc.go has no part %q", head)
		return ""
	}
	check := func(part string, names []string) {
		for _, n := range names {
			if !regexp.MustCompile(`\b` + n + `\b`).MatchString(part) {
				t.Errorf("%q is not in the part %q", n, strings.SplitN(part, "\n", 2)[0])
			}
		}
	}
	json := section("JSON, schema " + SchemaJSON)
	for _, v := range []any{jsonDay{}, jsonHead{}, jsonLeg{}, jsonFinding{}, jsonHandover{}, jsonHandoverPart{}, jsonHandoverItem{}} {
		check(json, tags(v, "json"))
	}
	pq := section("Parquet, schema " + SchemaParquet)
	for _, v := range []any{parquetEntry{}, parquetBell{}, parquetFinding{}} {
		check(pq, tags(v, "parquet"))
	}
}

// tags are the names that a struct's fields are written under.
func tags(v any, key string) []string {
	var out []string
	for i := range reflect.TypeOf(v).NumField() {
		name, _, _ := strings.Cut(reflect.TypeOf(v).Field(i).Tag.Get(key), ",")
		out = append(out, name)
	}
	return out
}
