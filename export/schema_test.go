package export

import (
	"os"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

// Every column of the Parquet files is told in doc.go; the fields of the JSON are in the
// schema that is made from their types.
func TestColumnsAreDocumented(t *testing.T) {
	data, err := os.ReadFile("doc.go")
	if err != nil {
		t.Fatal(err)
	}
	_, told, found := strings.Cut(string(data), "// # Parquet, schema "+SchemaParquet)
	if !found {
		t.Fatal("doc.go has no part on Parquet")
	}
	for _, v := range []any{parquetEntry{}, parquetBell{}, parquetFinding{}} {
		for i := range reflect.TypeOf(v).NumField() {
			name, _, _ := strings.Cut(reflect.TypeOf(v).Field(i).Tag.Get("parquet"), ",")
			if !regexp.MustCompile(`\b` + name + `\b`).MatchString(told) {
				t.Errorf("%q is not told", name)
			}
		}
	}
}
