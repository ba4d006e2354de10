package gather

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"fairhand/export"
	"fairhand/register/each"
)

// The tables of a collection.
const (
	Boxes      = "boxes"
	Entries    = "entries"
	Trains     = "trains"
	Findings   = "findings"
	Turns      = "turns"
	Occupation = "occupation"
	Bells      = "bells"
	Clocks     = "clocks"
)

// Tables names the tables, for whoever makes views of them.
func Tables() []string {
	return []string{Boxes, Entries, Trains, Findings, Turns, Occupation, Bells, Clocks}
}

// boxRow is a row of the table boxes, which is one file at the top.
type boxRow struct {
	Railway    string  `parquet:"railway,dict"`
	Box        string  `parquet:"box,dict"`
	Zone       string  `parquet:"zone,dict"`
	RuleSet    string  `parquet:"rule_set,dict"`
	Entries    int64   `parquet:"entries"` // number of the last
	Hash       string  `parquet:"hash"`    // of the last
	FirstDay   int32   `parquet:"first_day,date"`
	LastDay    int32   `parquet:"last_day,date"`
	Examined   *int32  `parquet:"last_examined,optional,date"` // day of the last signature of somebody who examined the book
	ExaminedTo int64   `parquet:"examined_to"`                 // entry of that signature, 0 for never
	ExaminedBy *string `parquet:"examined_by,optional"`
	Sealed     *int64  `parquet:"sealed_to,optional"` // entry of the newest seal
	Described  string  `parquet:"box_description"`    // SHA-256 of the description in force at the end
}

// collection is the manifest at the top.
type collection struct {
	Schema  string    `json:"schema"`
	Caution string    `json:"caution"`
	Tables  []string  `json:"tables"`
	Boxes   []summary `json:"boxes"`
}

type summary struct {
	Folder  string  `json:"folder"`
	Railway string  `json:"railway"`
	Box     string  `json:"box"`
	Head    Head    `json:"head"`
	Seal    *Sealed `json:"seal"`
}

// emptyDir has a file without rows of each table, so that an engine knows its columns
// where no box has a row of it. It is named as the folders of the boxes are.
const emptyDir = "railway=none/box=none/year=0"

// writeLine writes what stands at the top of a collection, of all boxes in it.
func writeLine(out string) error {
	all, err := manifests(out)
	if err != nil {
		return err
	}
	if err := oneFile(filepath.Join(out, Boxes+".parquet"), each.Of(all, (*Manifest).row)); err != nil {
		return err
	}
	return writeManifest(filepath.Join(out, ManifestName), &collection{
		Schema: Schema, Caution: caution, Tables: Tables(),
		Boxes: each.Of(all, func(m *Manifest) summary { return summary{m.Folder, m.Railway, m.Box, m.Head, m.Seal} }),
	})
}

// beginLine writes what a collection has before there is a box in it: first of all the
// manifest by which it is known as one.
func beginLine(out string) error {
	if err := writeLine(out); err != nil {
		return err
	}
	dir := filepath.Join(out, emptyDir)
	if err := os.MkdirAll(dir, 0o700); err != nil {
		return err
	}
	for name, write := range map[string]func(string) error{
		Entries: empty[entry], Trains: empty[train], Findings: empty[finding], Turns: empty[turn], Occupation: empty[hour], Bells: empty[bell], Clocks: empty[clock],
	} {
		if err := write(filepath.Join(dir, name+".parquet")); err != nil {
			return err
		}
	}
	return nil
}

func (m *Manifest) row() boxRow {
	r := boxRow{Railway: m.Railway, Box: m.Box, Zone: m.Zone, RuleSet: m.RuleSet, Entries: m.Head.Entry, Hash: m.Head.Hash,
		FirstDay: dayNumber(m.FirstDay), LastDay: dayNumber(m.LastDay), ExaminedTo: m.ExaminedTo, ExaminedBy: export.OrNull(m.ExaminedBy)}
	if m.Examined != "" {
		r.Examined = new(dayNumber(m.Examined))
	}
	if m.Seal != nil {
		r.Sealed = export.OrNull(m.Seal.Entry)
	}
	if n := len(m.Descriptions); n > 0 {
		r.Described = m.Descriptions[n-1].SHA256
	}
	return r
}

// manifests are those of all boxes of a collection, in the order of their folders.
func manifests(out string) ([]*Manifest, error) {
	paths, err := fs.Glob(os.DirFS(out), "railway=*/box=*/"+ManifestName)
	if err != nil {
		return nil, err
	}
	var all []*Manifest
	for _, path := range paths {
		m := new(Manifest)
		if _, err := readManifest(filepath.Join(out, path), m); err != nil {
			return nil, err
		}
		all = append(all, m)
	}
	return all, nil
}

// dayNumber is a day of a manifest as Parquet counts days.
func dayNumber(day string) int32 {
	t, _ := time.Parse(time.DateOnly, day)
	return int32(t.Unix() / (24 * 3600))
}

func empty[T any](path string) error { return oneFile[T](path, nil) }

// oneFile writes a small table whole.
func oneFile[T any](path string, rows []T) error {
	var buf bytes.Buffer
	w := newWriter[T](&buf, labels{})
	if _, err := w.Write(rows); err != nil {
		return err
	}
	if err := w.Close(); err != nil {
		return fmt.Errorf("writing %s: %w", path, err)
	}
	return keep(path, buf.Bytes())
}

// keep writes a file unless it is there with the same content, so that what carries a
// collection elsewhere has the less to do.
func keep(path string, content []byte) error {
	if had, err := os.ReadFile(path); err == nil && bytes.Equal(had, content) {
		return nil
	} else if err != nil && !os.IsNotExist(err) {
		return err
	}
	return export.Put(path, true, content)
}
