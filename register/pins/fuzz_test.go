package pins

import (
	"os"
	"path/filepath"
	"testing"
)

// FuzzLoad: no file of records breaks the reader, and each that it gives can be tried.
func FuzzLoad(f *testing.F) {
	f.Add([]byte(`[{"name":"A. Fell","salt":"AAAA","time":3,"memory":64,"threads":4,"argon2id":"AAAA"}]`))
	f.Add([]byte(`[{"time":0,"threads":0}]`))
	f.Add([]byte("null"))
	f.Fuzz(func(t *testing.T, text []byte) {
		dir := t.TempDir()
		if err := os.WriteFile(filepath.Join(dir, FileName), text, 0o600); err != nil {
			t.Fatal(err)
		}
		list, err := Load(dir)
		if err != nil {
			return
		}
		for _, r := range list {
			if r.Digest() == "" {
				t.Error("a record without a digest")
			}
			if r.Memory <= 64 && r.Time <= 3 { // else it takes long
				r.Fits("0000")
			}
		}
	})
}
