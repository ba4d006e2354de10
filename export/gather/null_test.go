package gather

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"

	"github.com/parquet-go/parquet-go"
)

// Nothing that may be null is written as a zero or an empty text: what is not there is
// null, for every engine.
func TestWhatIsNotThereIsNull(t *testing.T) {
	w := newWorld(worldOptions{boxes: 3, days: 1, every: 60, careless: 1})
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	run(t, out, w.makeAll(t, dir)...)
	seen := 0
	for path, data := range files(t, out) {
		if !strings.HasSuffix(path, ".parquet") {
			continue
		}
		f, err := parquet.OpenFile(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatalf("%s: %v", path, err)
		}
		for _, g := range f.RowGroups() {
			for _, v := range values(t, g) {
				name := f.Schema().Columns()[v.Column()]
				if v.DefinitionLevel() != 1 || len(name) > 1 || v.IsNull() || name[0] == "number" {
					continue
				}
				if seen++; v.Kind() == parquet.ByteArray && len(v.ByteArray()) == 0 || v.Kind() == parquet.Int64 && v.Int64() == 0 {
					t.Fatalf("%s of %s is %v and not null", name, path, v)
				}
			}
		}
	}
	if seen < 1000 {
		t.Errorf("only %d values looked at", seen)
	}
}

// values are all values of a group of rows.
func values(t *testing.T, g parquet.RowGroup) (all []parquet.Value) {
	t.Helper()
	rows := g.Rows()
	defer rows.Close()
	buf := make([]parquet.Row, 100)
	for {
		n, err := rows.ReadRows(buf)
		for _, r := range buf[:n] {
			all = append(all, r.Clone()...)
		}
		if err != nil || n == 0 {
			return all
		}
	}
}
