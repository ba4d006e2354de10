package main

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"time"

	"fairhand/register"
	"fairhand/register/seal"
)

const volume = "archive/archive-2020"

// What is done to volumes of closed years and to their holds, to the middle of a copy and
// to the name of a seal.
func init() {
	besides = append(besides, []besideAttack{
		{"a copy altered in its middle", func(f *forger) {
			c := forgeFile(f.T, f.dir, copyOf(f))
			c.do(`UPDATE entry SET line = '06:01 note "x"' WHERE seq = 2`)
			c.done()
		}, "verify: damage rotten; copy: damage rotten"},
		{"a seal under another number", func(f *forger) {
			names, err := filepath.Glob(filepath.Join(f.dir, "seal-*.txt*"))
			for _, name := range names {
				err = errors.Join(err, os.Rename(name, strings.Replace(name, "seal-", "seal-0", 1)))
			}
			if err != nil || len(names) != 2 {
				f.Fatal(names, err)
			}
		}, "verify: seal name; audit: seal name; day: seal name; due: seal name; copy: seal name"},
		{"the mark of a hold taken away", gone(volume + ".db.hold"), "verify: hold; due: hold"},
		{"a volume that is held taken away", gone(volume+".db", volume+".db.hold", volume+".txt", volume+".pub"), "verify: gone; due: gone; volume: volume; file: volume"},
		{"all volumes taken away, and their folder", func(f *forger) {
			emptied(f, archiveDir)
			_ = os.Remove(filepath.Join(f.dir, archiveDir)) // not by wine
		}, "verify: gone; due: gone; file: volume"},
		{"a folder in the place of a volume", func(f *forger) {
			gone(volume + ".db")(f)
			if err := os.Mkdir(filepath.Join(f.dir, volume+".db"), 0o700); err != nil {
				f.Fatal(err)
			}
		}, "verify: volume; volume: volume; file: volume"},
		{"the signature of a volume taken away", gone(volume + ".txt" + seal.SignatureEnding), "verify: volume; volume: volume; file: volume; bare: volume"},
		{"a volume under another year's name", func(f *forger) { // and so it may go sooner
			for _, ending := range volumeEndings {
				text := read(f.T, filepath.Join(f.dir, volume+ending))
				if err := os.WriteFile(filepath.Join(f.dir, strings.Replace(volume, "2020", "2019", 1)+ending), text, 0o600); err != nil {
					f.Fatal(err)
				}
			}
		}, "verify: volume name; due: name"},
		{"a volume altered", func(f *forger) { ofVolume(f, `UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`, false) }, "verify: damage volume; volume: damage volume; file: damage volume; bare: damage volume"},
		{"half of a year, by the key of the box", func(f *forger) {
			v := forgeFile(f.T, f.dir, filepath.Join(f.dir, volume+".db"))
			v.do("DELETE FROM entry WHERE seq > 2")
			v.do("DELETE FROM snapshot")
			signedAnew(volume+".txt", func(s *seal.Statement) {
				s.Last, s.At = 2, s.At.Add(time.Hour) // as whoever does it later
				var hash []byte
				if err := v.db.QueryRow("SELECT hash FROM entry WHERE seq = 2").Scan(&hash); err != nil {
					f.Fatal(err)
				}
				copy(s.Hash[:], hash)
			})(f)
			v.done()
		}, "verify: volume; volume: volume"},
		{"a volume altered, chain made anew", func(f *forger) { ofVolume(f, `UPDATE entry SET line = '06:00 note "x"' WHERE seq = 1`, true) }, "verify: volume; volume: volume; file: volume; bare: volume"},
		{"the key of a volume exchanged", func(f *forger) {
			other := f.TempDir()
			if err := os.WriteFile(filepath.Join(other, register.BoxFileName), read(f.T, filepath.Join(f.dir, register.BoxFileName)), 0o600); err != nil {
				f.Fatal(err)
			}
			must(f.T, exitFine, "-C", other, "seal", "key")
			if err := os.WriteFile(filepath.Join(f.dir, volume+".pub"), read(f.T, filepath.Join(other, seal.KeyName+".pub")), 0o600); err != nil {
				f.Fatal(err)
			}
		}, "verify: volume; volume: volume; file: volume; bare: volume"},
		{"the key of the box exchanged, seals by it", func(f *forger) {
			other := f.TempDir()
			key, err := seal.CreateKey(other, "Ennerholme", nil)
			if err != nil {
				f.Fatal(err)
			}
			seals, err := filepath.Glob(filepath.Join(f.dir, "seal-*.txt"))
			if err != nil || len(seals) != 1 {
				f.Fatal(seals, err)
			}
			sealedBy(f, key, filepath.Base(seals[0]))
			for _, name := range []string{seal.KeyName, seal.KeyName + ".pub"} {
				if err := os.WriteFile(filepath.Join(f.dir, name), read(f.T, filepath.Join(other, name)), 0o600); err != nil {
					f.Fatal(err)
				}
			}
		}, "verify: volume; volume: volume"},
		{"volumes of two years exchanged", func(f *forger) {
			exchanged(f, volumeEndings...)
		}, "verify: volume name; due: name; volume: volume name; file: volume name; bare: volume name"},
		{"the same, each under its own seal", func(f *forger) { exchanged(f, ".db") },
			"verify: volume; due: name; volume: volume; file: volume; bare: volume"},
	}...)
}

// exchanged puts each of two volumes in the place of the other, by these files.
func exchanged(f *forger, endings ...string) {
	for _, ending := range endings {
		one, other := filepath.Join(f.dir, volume+ending), filepath.Join(f.dir, strings.Replace(volume, "2020", "2021", 1)+ending)
		text := read(f.T, one)
		if err := errors.Join(os.WriteFile(one, read(f.T, other), 0o600), os.WriteFile(other, text, 0o600)); err != nil {
			f.Fatal(err)
		}
	}
}

// ofVolume alters a volume, and chains it anew.
func ofVolume(f *forger, query string, chained bool) {
	v := forgeFile(f.T, f.dir, filepath.Join(f.dir, volume+".db"))
	v.do(query)
	if chained {
		v.rechain()
	}
	v.done()
}
