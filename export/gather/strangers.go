package gather

import (
	"fmt"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"strings"
)

// StrangerError is of a file in a collection that no register was gathered into: an
// engine reads its rows with the others.
type StrangerError struct {
	Path   string
	Edited bool // a manifest, which is there by right, of a box that was not gathered now
}

func (e *StrangerError) Error() string {
	if e.Edited {
		return e.Path + " was changed by hand, or damaged: what the collection says of that box is not to be relied on. Gather its register again, which puts it right, and ask who has had the collection"
	}
	return fmt.Sprintf("%s was not gathered from a register, and whoever asks the collection reads it: put in by hand, or left by a box that went. Take it away, and ask who has had the collection", e.Path)
}

// strangers are the tables in a collection that none of its manifests names, and the
// manifests that are not as they were written.
func strangers(out string) (list []error, err error) {
	named, found := map[string]bool{Boxes + ".parquet": true}, []string{}
	for _, t := range Tables() {
		named[path.Join(emptyDir, t+".parquet")] = t != Boxes
	}
	err = fs.WalkDir(os.DirFS(out), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil || d.IsDir():
			return err
		case strings.HasSuffix(name, ".parquet"):
			found = append(found, name)
		case strings.HasPrefix(d.Name(), "_") && strings.HasSuffix(name, ".json"):
			var m struct { // of a box, or of a pair by its years
				Parts []Part       `json:"parts"`
				Years []joinedYear `json:"years"`
			}
			file := filepath.Join(out, filepath.FromSlash(name))
			_, err := readManifest(file, &m)
			if err == nil && !asWritten(file) {
				list = append(list, &StrangerError{name, true})
			}
			for _, y := range m.Years {
				m.Parts = append(m.Parts, y.Parts...)
			}
			for _, p := range m.Parts {
				named[path.Join(path.Dir(name), p.File)] = true
			}
			return err
		}
		return nil
	})
	for _, name := range found {
		if !named[name] {
			list = append(list, &StrangerError{Path: name})
		}
	}
	return list, err
}
