package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"

	"fairhand/register"
	"fairhand/register/pins"
	"fairhand/register/seal"
)

// The references on the computer's clock, and on what a register proves.

const clockHelp = `The time of an entry is the computer's, unless one is typed with it. A box's computer has often no network,
so nobody sets its clock: a weak battery sends it back to 1970, a wrong key a year ahead.

When the clock goes back by more than five minutes, jumps while the program runs, or reads more than
eight days after the last entry, nothing is written until it is asked about, with both dates in full:

  It is wrong: set the computer's clock, and go on. Nothing was written.
  It is right: book that, clock right, and go on. The entry tells both readings, and clock-jumped is
  found where it was set.

When entries were written under a wrong clock:

  1. Set the computer's clock. The desk asks; answer clock right. From that entry on the book goes by
     what the clock reads, whatever was written before: nothing that follows is late or out of order for it.
  2. The entries stay as they were written, in the order of writing; their days are those that the clock told.
     Correct the ones that matter, with the date in front:
     correct 170 "2026-05-06 10:00 note \"of another day\""
  3. Tell whoever examines the book: the page shows the clock entry, and audit counts it.

While the right time is not known, write by the clock of the box with the time in front of each line, and
check it against the neighbour as every day: clock slow 2. At the two changes in the
year nothing is to be done: the hour that comes twice is told apart.
`

const proofHelp = `What verify and every page prove: that each entry is as it was written, in its order, with none taken out
between; that each description of the box is the one its entry names; that the days, corrections and
states kept for speed agree with the entries; that the seals beside the register fit.

What they cannot prove, and what to do about it:

  Who wrote. A name is what was typed; see fairhand help people.
  That it was true, or written at that time: the computer's clock is believed; see fairhand help clock.
  The end of the register, as far as no seal reaches: whoever takes the last entries away leaves a sound
    register. Seal at each turn, and give the words to the neighbours (fairhand seal words).
  The key of the seals. They hold by seal_ed25519.pub, which lies in the box directory itself (made for its owner
    only, as all files there; nothing of it is secret). verify names its fingerprint. Whoever changes it and makes
    register and seals anew leaves a whole box, unless the private half lies there too and is another. So:
      when the key is made, give the line that fairhand seal key prints to the inspector, and write the
      fingerprint where it cannot be changed: into the neighbours' books, on paper;
      later compare verify's fingerprint with that, or check by the key kept elsewhere:
      fairhand seal check seal-167.txt --key COPY.pub; without this program: ssh-keygen -Y verify.
  Seals that were taken away together with their signatures, and a box whose key, seals and register were all
    made anew: only what lies elsewhere tells. The key's fingerprint and the seals belong with the inspector,
    the words in the neighbours' books (fairhand seal check --neighbour DIR), and the copies
    in a second place (the option copies): verify, the desk and each new copy compare those there, and say
    when one has entries that the register has not, or others.
  A page that was printed or filed (PDF, HTML, text, a spreadsheet): whoever has it can edit it, and nothing in it
    proves that nobody did. It names at its foot the last entry of the register it was made of, with its hash.
    fairhand verify --export FILE makes it anew from the register and compares the files, which are the same to the byte;
    of one on paper make it anew, and compare paper with paper:
      fairhand export --date 2026-05-05 --format pdf --up-to 167 -o again.pdf
    What may differ with reason: how late trains ran if the timetable was changed, another version of the program, a
    spreadsheet that was saved again. Of an export in JSON verify --export names each entry that differs, whichever
    version wrote it: file one beside the pages that matter. Parquet has the hash of each entry, and is made anew by gather.
  The timetable and the special notices: they are no evidence and may be changed at any time. No finding
    rests on them; how late trains ran (audit) is told by the timetable as it is now.

Who may read and write the files:

%FILES%
`

const (
	filesByMode = `  They are made for their owner only (files 0600, folders 0700), and a key that others may read is refused.
  Whoever is the owner, or has the disk in another computer, may do anything; fairhand seal key --lock puts a
  passphrase on the key.`
	filesOnWindows = `  ON WINDOWS THE PROGRAM PROTECTS NO FILE: there the modes of files say nothing. Register, key and PINs are for
  whoever the access list of the folder lets in. Put the box into a folder of the user who works it (his own,
  under C:\Users), or take the others out of its list: icacls DIR /inheritance:r /grant:r "%USERNAME%:(OI)(CI)F".
  The key is not refused when others may read it: fairhand seal key --lock puts a passphrase on it.`
)

// proofReference is the help on what is proved, with who has the files on a system; both
// are told, that of this one first.
func proofReference(system string) string {
	files := []string{filesByMode, filesOnWindows}
	if system == "windows" {
		files[0], files[1] = files[1], "  Elsewhere:\n"+files[0]
	}
	return strings.Replace(proofHelp, "%FILES%", strings.Join(files, "\n\n"), 1)
}

// filesHere is what verify says of the files of a box on a system where others than their
// owner may write into them: where the program protects none, or their modes let others in.
func filesHere(system, dir string) string {
	if system == "windows" {
		return "the files are for whoever the folder's access list lets in: fairhand help proof\n"
	}
	var open []string
	for _, name := range []string{"", register.RegisterName, register.BoxFileName, pins.FileName, seal.KeyName + ".pub"} {
		if info, err := os.Stat(filepath.Join(dir, name)); err == nil && info.Mode().Perm()&0o022 != 0 {
			open = append(open, filepath.Join(dir, name))
		}
	}
	if open == nil {
		return ""
	}
	return fmt.Sprintf("others than its owner may write into %s: chmod go-w keeps them out\n", strings.Join(open, ", "))
}

var proofHere = func() string { return proofReference(runtime.GOOS) }
