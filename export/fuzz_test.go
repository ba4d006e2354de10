package export

import (
	"os"
	"path/filepath"
	"testing"
)

// FuzzReadFiled: no file breaks the reader of exports.
func FuzzReadFiled(f *testing.F) {
	f.Add([]byte(`{"schema":"fairhand-day-1","last_entry_of_register":{"entry":1,"hash":"00"}}`))
	f.Add([]byte(`{"schema":"fairhand-day-1","entries":[{"entry":1,"at":"x"}],"seal":{}}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		path := filepath.Join(t.TempDir(), "day.json")
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		if filed, err := ReadFiled(path); err == nil && filed.day.Head.Entry < 1 {
			t.Error("read without a head")
		}
	})
}
