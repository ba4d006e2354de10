package gather

import (
	"os"
	"path/filepath"
	"testing"
)

// FuzzManifest: no manifest breaks the reader, and none makes files out of nothing.
func FuzzManifest(f *testing.F) {
	f.Add([]byte(`{"folder":"railway=R/box=B","parts":[{"file":"entries.parquet","bytes":12}]}`))
	f.Add([]byte(`{"parts":[{"file":"../../x","bytes":-1}]}`))
	f.Fuzz(func(t *testing.T, text []byte) {
		dir := t.TempDir()
		path := filepath.Join(dir, ManifestName)
		if err := os.WriteFile(path, text, 0o600); err != nil {
			t.Fatal(err)
		}
		m := new(Manifest)
		if ok, err := readManifest(path, m); err == nil && !ok {
			t.Error("it is there and was not found")
		}
		if whole(filepath.Join(dir, m.Folder), ManifestName, m.Parts) && len(m.Parts) > 0 && m.Folder == "" && m.Parts[0].File != ManifestName && filepath.IsLocal(m.Parts[0].File) && m.Parts[0].Bytes > 0 {
			t.Errorf("%+v is not there", m.Parts)
		}
	})
}
