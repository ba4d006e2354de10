package gather

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/store"
)

// Schema names the shape of the collection: of its tables and of its manifests. It
// changes when a column or a key changes its meaning or goes; more may come without.
const Schema = "fairhand-gather-1"

// ManifestName is the file that says of a box, in its folder, and of the collection,
// at its top, what it was made from. Engines pass over names that begin so.
const ManifestName = "_manifest.json"

// Head is the last entry of a register.
type Head struct {
	Entry int64  `json:"entry"`
	Hash  string `json:"hash"`
}

func headOf(t store.Tail) Head { return Head{t.Seq, t.Hash.String()} }

// Sealed is the newest seal that lay beside a register and that it fits.
type Sealed struct {
	Entry int64  `json:"entry"`
	Day   string `json:"day"`
	Hash  string `json:"hash"`
	File  string `json:"file"`
	Held  bool   `json:"signature_held"` // by the public key beside it; false where there is none
}

// Described is a description of the box.
type Described struct {
	Entry  int64  `json:"entry"` // that brought it in; 0: the register began with it, or keeps none
	SHA256 string `json:"sha256"`
}

// Manifest is what the parts of a box were made from.
type Manifest struct {
	Schema       string      `json:"schema"`
	Caution      string      `json:"caution"`
	Program      string      `json:"program"` // its rules and its build
	Railway      string      `json:"railway"`
	Box          string      `json:"box"`
	Zone         string      `json:"zone"`
	RuleSet      string      `json:"rule_set"`
	Folder       string      `json:"folder"`  // in the collection
	Source       string      `json:"source"`  // the register read last
	Genesis      string      `json:"genesis"` // hash before its first entry
	Head         Head        `json:"head"`
	Seal         *Sealed     `json:"seal"` // null where none was found
	Descriptions []Described `json:"box_descriptions"`
	Neighbours   []string    `json:"neighbours"`
	FirstDay     string      `json:"first_day"`
	LastDay      string      `json:"last_day"`
	Examined     string      `json:"last_examined"` // day of the last signature; empty for never
	ExaminedTo   int64       `json:"examined_to"`   // entry of it, 0 for never
	ExaminedBy   string      `json:"examined_by"`
	Years        []YearFrom  `json:"years"`
	OpenYear     int         `json:"open_year"` // the first whose rows may come out otherwise when more is written
	Parts        []Part      `json:"parts"`
}

// YearFrom says from which entry on a register is read for the rows of a year to come out
// as they do of the whole: what was under way when the year began, began there or later.
type YearFrom struct {
	Year  int   `json:"year"`
	Entry int64 `json:"from_entry"`
}

// whole says whether the files of a manifest are there, of their sizes, and none changed
// since the manifest was written: what is kept with its time is told by Options.Anew.
func whole(dir, manifest string, parts []Part) bool {
	said, err := os.Stat(filepath.Join(dir, manifest))
	if err != nil {
		return false
	}
	for _, p := range parts {
		info, err := os.Stat(filepath.Join(dir, p.File))
		if err != nil || info.Size() != p.Bytes || info.ModTime().After(said.ModTime()) {
			return false
		}
	}
	return true
}

// readManifest reads a manifest of any kind; ok is false where there is none.
func readManifest(path string, to any) (ok bool, err error) {
	text, err := bounded.File(path, bounded.Manifest)
	if errors.Is(err, fs.ErrNotExist) {
		return false, nil
	}
	if err == nil {
		err = json.Unmarshal(text, to)
	}
	if err != nil {
		return false, fmt.Errorf("%s cannot be read: %w; remove the folder it lies in, and what was in it is gathered again", path, err)
	}
	return true, nil
}

func writeManifest(path string, m any) error {
	text, err := json.MarshalIndent(m, "", "  ")
	if err != nil {
		return err
	}
	body := strings.TrimSuffix(string(text), "\n}")
	return keep(path, []byte(body+digestKey+store.Digest(body)+"\"\n}\n"))
}

// digestKey stands before the last value of a manifest: the SHA-256 of all before it.
const digestKey = ",\n  \"sha256\": \""

// asWritten says whether a manifest is as this program wrote it. It says what its parts
// are, and in the table of the boxes what is in no part; whoever alters it by hand is told.
func asWritten(path string) bool {
	text, err := bounded.File(path, bounded.Manifest)
	i := strings.LastIndex(string(text), digestKey)
	return err == nil && i >= 0 && strings.HasPrefix(string(text[i+len(digestKey):]), store.Digest(string(text[:i]))+`"`)
}

// AlteredError tells files of a collection that were not what the register gives, which
// is what they were made from: they are put right.
type AlteredError struct {
	Folder string
	Files  []string
}

func (e *AlteredError) Error() string {
	return fmt.Sprintf("%s: %s was not what the register gives: changed by hand, or damaged. It is put right; ask who has had the collection, and what was made of it", e.Folder, strings.Join(e.Files, ", "))
}

// settling is parts that are put in the place of those before.
type settling struct {
	dir, manifest string
	fresh         []Part // made now, not under their names yet
	had, now      []Part // what the manifest said, and says
	same          bool   // both were made of the same
	edited        bool   // and the manifest says something else of it
}

// settle gives finished files their names, all but those that are there already with
// the same content; then the manifest is written, and what was there before and is no
// part any more is removed. An *AlteredError tells of files that were not what was made.
func (s *settling) settle(m any) error {
	altered := &AlteredError{Folder: s.dir}
	if s.edited {
		altered.Files = append(altered.Files, s.manifest)
	}
	for _, p := range s.fresh {
		path := filepath.Join(s.dir, p.File)
		sum, err := sumOf(path)
		said := slices.Contains(s.had, p)
		if s.same && !said || said && sum != p.SHA256 {
			altered.Files = append(altered.Files, p.File)
		}
		if err == nil && said && sum == p.SHA256 {
			err = os.Remove(path + partEnding)
		} else {
			err = os.Rename(path+partEnding, path)
		}
		if err != nil {
			return err
		}
	}
	path := filepath.Join(s.dir, s.manifest)
	if err := writeManifest(path, m); err != nil {
		return err
	}
	now := time.Now()
	if err := os.Chtimes(path, now, now); err != nil { // no part is younger
		return err
	}
	for _, p := range s.had {
		if !slices.ContainsFunc(s.now, func(q Part) bool { return q.File == p.File }) {
			if err := os.Remove(filepath.Join(s.dir, p.File)); err != nil && !errors.Is(err, fs.ErrNotExist) {
				return err
			}
		}
	}
	if altered.Files != nil {
		return altered
	}
	return nil
}

// sumOf is the SHA-256 of a file, in hex.
func sumOf(path string) (string, error) {
	f, err := bounded.Open(path)
	if err != nil {
		return "", err
	}
	defer f.Close()
	sum := sha256.New()
	_, err = io.Copy(sum, f)
	return hex.EncodeToString(sum.Sum(nil)), err
}

// caution stands in every manifest.
const caution = register.Caution
