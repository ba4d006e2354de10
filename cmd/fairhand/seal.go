package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"fairhand/export"
	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/notation"
	"fairhand/register/seal"
	"fairhand/register/sheet"
	"fairhand/register/store"
)

const sealLong = `A seal is a signature over the number and the hash of the last entry, made with a key
of the box. The chain of hashes shows an entry that was altered; a seal shows as well
a register that was made anew from the altered entry on.

  fairhand seal key          once: makes the key in the box directory
  fairhand seal now          at the end of a turn: seals all entries there are
  fairhand seal words        the head in a number and six words, to tell a neighbour
  fairhand seal check FILE   says whether the register is still the one sealed

Two books vouch for each other: what you tell the neighbour he writes into his book,

  fairhand log 'seal Ennerholme "167 ..."'

and fairhand seal check --neighbour DIR compares his book with your register. A seal is
worth what the keeping of the key is worth: let others hold its public half. It says
that the entries are those that were sealed, never that they are true.`

func (p *program) sealCommand() *cobra.Command {
	cmd := &cobra.Command{
		Use:   "seal",
		Short: "Seal the register with the box's key, and check seals",
		Long:  sealLong,
		Args: func(cmd *cobra.Command, given []string) error {
			if len(given) > 0 {
				return withHint(usagef("seal has no command %q", given[0]), "it has key, now, words and check")
			}
			return withHint(usagef("seal: what to do is missing"), "it has key, now, words and check; fairhand help seal")
		},
		RunE: func(*cobra.Command, []string) error { return nil },
	}
	cmd.AddCommand(p.sealKeyCommand(), p.sealNowCommand(), p.sealWordsCommand(), p.sealCheckCommand())
	return cmd
}

// sealJSON is a key, a seal or words of a register, for programs; what does not
// belong to the command is left out.
type sealJSON struct {
	File      string        `json:"file,omitempty"`      // the key, or the statement
	Signature string        `json:"signature,omitempty"` // file beside the statement
	Box       string        `json:"box,omitempty"`
	First     int64         `json:"first,omitempty"` // entry that the turn began with
	Last      int64         `json:"last,omitempty"`  // entry that was sealed, or that the words are of
	Hash      string        `json:"hash,omitempty"`
	Sealed    string        `json:"sealed,omitempty"`  // when: RFC 3339, UTC
	Words     string        `json:"words,omitempty"`   // to be told to a neighbour
	Key       string        `json:"key,omitempty"`     // fingerprint
	Allowed   string        `json:"allowed,omitempty"` // line for others to check seals by
	Heard     int64         `json:"heard,omitempty"`   // entry of the neighbour's book that has words
	Proved    int64         `json:"proved,omitempty"`  // entry up to which the register was proved, and is as it was
	Alarms    []sheet.Alarm `json:"alarms,omitempty"`
}

func (p *program) sealKeyCommand() *cobra.Command {
	var lock bool
	cmd := &cobra.Command{
		Use:   "key",
		Short: "Make the box's own key",
		Long: `Make the key of the box in its directory: ` + seal.KeyName + `, to be read by its owner
only, and ` + seal.KeyName + `.pub. A key that is there is never replaced. Print the line that is
told to others, such as the inspector, to check seals by. --lock asks for a passphrase,
without which nothing is sealed. The private half may also be given to an SSH agent
(ssh-add) and its file kept elsewhere.`,
		Args: args(0, 0, ""),
		RunE: func(cmd *cobra.Command, _ []string) error {
			file, err := p.loadBox(cmd, "")
			if err != nil {
				return err
			}
			dir := filepath.Dir(file.Path)
			var phrase []byte
			if lock {
				if phrase, err = p.newPassphrase(); err != nil {
					return err
				}
			}
			k, err := seal.CreateKey(dir, file.Box.Name, phrase)
			if errors.Is(err, fs.ErrExist) {
				return withHint(err, "the box has its key; fairhand seal now seals with it")
			}
			if err != nil {
				return err
			}
			told := sealJSON{File: filepath.Join(dir, seal.KeyName), Box: file.Box.Name, Key: k.Public.Fingerprint(), Allowed: k.Public.AllowedSigners(file.Box.Name)}
			err = p.tell(told, `%s: the key of %s, %s
Keep it from others; the register can be made anew by who has it. Give the
inspector and the neighbours this line, as the file allowed:

%s
`, told.File, told.Box, told.Key, told.Allowed)
			if runtime.GOOS == "windows" && !lock && !p.js {
				fmt.Fprintln(p.out, "Here the file's mode keeps nobody from it, only the folder's own access list does: --lock is safer.")
			}
			return err
		},
	}
	cmd.Flags().BoolVar(&lock, "lock", false, "ask for a passphrase that locks the key")
	return p.withJSON("", cmd)
}

func (p *program) sealNowCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "now",
		Short: "Seal the entries there are",
		Long: `Seal the entries there are: write seal-N.txt, the statement about entry N, the last,
and seal-N.txt.sig, its signature, beside the register; and print the words that are
told to the neighbours. The statement is about the turn of who signed on last; the hash
in it is over every entry before as well.`,
		Args: args(0, 0, ""),
		RunE: p.onBook(true, func(cmd *cobra.Command, _ []string, book *register.Book, opt options) error {
			if doubt := book.ClockDoubt(); doubt != nil { // the seal says when it was made
				return doubt
			}
			k, err := seal.LoadKey(opt.Dir, p.passphrase)
			switch {
			case notThere(err):
				return withHint(errors.New("the box has no key to seal with"), "fairhand -C %s seal key makes it", shellWord(opt.Dir))
			case errors.Is(err, seal.ErrKeyLocked):
				return withHint(err, "seal from a terminal, or give the key to an SSH agent: ssh-add %s", shellWord(filepath.Join(opt.Dir, seal.KeyName)))
			case errors.Is(err, seal.ErrKeyOpen):
				return withHint(err, "chmod 600 %s", shellWord(filepath.Join(opt.Dir, seal.KeyName)))
			case err != nil:
				return err
			}
			s, err := p.statementNow(cmd.Context(), book)
			if err != nil {
				return err
			}
			if err := p.sealsFit(opt.Dir, book.Store()); err != nil {
				return err
			}
			path, err := writeSeal(opt.Dir, k, s)
			if err != nil {
				return err
			}
			return p.saySealed(path, k.Public, s)
		}),
	})
}

// passphrase asks on the terminal for the passphrase of a key, without showing it.
func (p *program) passphrase(path string) ([]byte, error) {
	f, ok := p.stdin.(*os.File)
	if !ok || !terminal(p.stdin) {
		return nil, errors.New("there is no terminal to ask for it on")
	}
	p.ask("Passphrase of %s: ", path)
	defer fmt.Fprintln(p.notes)
	return term.ReadPassword(int(f.Fd()))
}

// newPassphrase asks for one twice.
func (p *program) newPassphrase() ([]byte, error) {
	const least = 8
	one, err := p.passphrase("the new key")
	if err != nil {
		return nil, err
	}
	if len(one) < least {
		return nil, fmt.Errorf("a passphrase has at least %d characters", least)
	}
	two, err := p.passphrase("the new key, again")
	if err == nil && string(one) != string(two) {
		err = errors.New("the two are not the same; no key was made")
	}
	return one, err
}

// sealsFit compares a register with the seals in the directory of its box.
func (p *program) sealsFit(dir string, st *store.Store) error {
	if _, err := seal.CheckBeside(dir, st); err != nil {
		return notTheOne(err)
	}
	return nil
}

// statementNow is the statement about the entries there are, all of which are
// proved: nothing damaged is sealed.
func (p *program) statementNow(ctx context.Context, book *register.Book) (seal.Statement, error) {
	st := book.Store()
	head := st.Tail()
	if head.Seq == 0 {
		return seal.Statement{}, errors.New("the register has no entries to seal")
	}
	first := int64(1)
	if recent := book.Recent(); len(recent) > 0 {
		first = recent[0].Seq
	}
	if on := book.State().OnDuty; len(on) > 0 {
		first = on[len(on)-1].Seq
	}
	if err := book.Prove(ctx); err != nil {
		return seal.Statement{}, err
	}
	last, err := st.Range(head.Seq, head.Seq)
	if err != nil || len(last) == 0 {
		return seal.Statement{}, cmp.Or(err, errors.New("the last entry is not there any more"))
	}
	s := seal.Of(st.Meta(), first, head, last[0].Day, time.Unix(int64(book.Now()), 0))
	s.Description = keptDigest(book, head.Seq)
	return s, nil
}

// keptDigest is that of the description in force with an entry, "" where none is kept.
func keptDigest(book *register.Book, entry int64) string {
	if d := book.Described(entry); d.Kept {
		return d.Digest
	}
	return ""
}

// sealName is the file of the seal of an entry.
func sealName(dir string, last int64) string { return filepath.Join(dir, seal.FileName(last)) }

// signed is the text of a statement with its signature.
func signed(k *seal.Key, s seal.Statement) (text, signature string, err error) {
	if text, err = s.Text(); err == nil {
		signature, err = k.Sign(s)
	}
	return text, signature, err
}

// writeSeal signs a statement and writes both files, the signature first, so
// that no statement is without one. A seal of the same entry that is there
// already stays.
func writeSeal(dir string, k *seal.Key, s seal.Statement) (string, error) {
	path := sealName(dir, s.Last)
	if _, err := os.Lstat(path); err == nil {
		return "", withHint(fmt.Errorf("%s: entry %d is sealed already", path, s.Last), "fairhand -C %s seal check %s", shellWord(dir), shellWord(path))
	}
	text, signature, err := signed(k, s)
	if err != nil {
		return "", err
	}
	if err := export.Put(path+seal.SignatureEnding, true, []byte(signature)); err != nil {
		return "", err
	}
	return path, export.Put(path, false, []byte(text))
}

func (p *program) saySealed(path string, public seal.Public, s seal.Statement) error {
	told, err := seal.Words(store.Tail{Seq: s.Last, Hash: s.Hash})
	if err != nil {
		return err
	}
	said := sealJSON{File: path, Signature: path + seal.SignatureEnding, Box: s.Box, First: s.First, Last: s.Last, Hash: s.Hash.String(),
		Sealed: sealedAt(s), Words: told.String(), Key: public.Fingerprint()}
	return p.tell(said, `%s: entries %d to %d of %s are sealed, and all before
words of the head: %s
A neighbour who is told them writes:
  seal %s "%s"
Anyone can check the seal by the line of fairhand seal key, here the file
allowed:
  ssh-keygen -Y verify -f allowed -I %s -n %s -s %s < %s
key %s
`, path, s.First, s.Last, s.Box, told, notation.Word(s.Box), told, seal.Principal(s.Box), seal.Namespace,
		shellWord(path+seal.SignatureEnding), shellWord(path), public.Fingerprint())
}

// sealedAt is when a statement was made.
func sealedAt(s seal.Statement) string { return s.At.UTC().Format(time.RFC3339) }

// sealDay gives a day that is exported the seal it carries: that of the last entry
// of the register when the day was read, else of the day's last. One that does not
// hold, or does not fit, is not carried: it is an alarm.
func sealDay(dir string, day *register.Day, of seal.Register) {
	for _, head := range []store.Tail{day.Head, day.Last} {
		path := sealName(dir, head.Seq)
		carried, err := sealOf(dir, path, head, of)
		if notThere(err) {
			continue
		}
		if err == nil {
			day.Seal = carried
		} else if len(day.Alarms) == 0 { // else it is among them
			day.Alarms = append(day.Alarms, sheet.Alarm{Stamp: sheet.SealMisfit, Text: fmt.Sprintf("%s: %s", path, err)})
		}
		return
	}
}

// sealOf is the seal of an entry with its signature and the key it holds by; the
// error is fs.ErrNotExist where there is none.
func sealOf(dir, path string, head store.Tail, of seal.Register) (*register.DaySeal, error) {
	text, err := bounded.File(path, bounded.Small)
	if err != nil {
		return nil, err
	}
	signature, err := bounded.File(path+seal.SignatureEnding, bounded.Small)
	if err != nil {
		return nil, fmt.Errorf("its signature: %v", err) // not the seal itself is missing
	}
	public, err := seal.PublicBeside(dir)
	if err != nil {
		return nil, fmt.Errorf("its public key: %v", err)
	}
	says, err := sealSays(public, string(text), string(signature), head, of)
	if err != nil {
		return nil, err
	}
	return &register.DaySeal{Statement: string(text), Signature: string(signature), PublicKey: public.Line(), Says: says}, nil
}

// sealSays is a seal that holds, of the head it stands under, as the foot of a
// page tells it.
func sealSays(public seal.Public, text, signature string, head store.Tail, of seal.Register) (string, error) {
	s, err := public.Read(text, signature)
	if err != nil {
		return "", err
	}
	if s.Last != head.Seq || s.Hash != head.Hash {
		return "", fmt.Errorf("%w: it is of entry %d with the hash %s, and entry %d has %s", seal.ErrOtherwise, s.Last, s.Hash, head.Seq, head.Hash)
	}
	if err := s.Fits(of); err != nil {
		return "", err
	}
	told, err := seal.Words(store.Tail{Seq: s.Last, Hash: s.Hash})
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("Sealed up to entry %d with key %s; in words: %s", s.Last, public.Fingerprint(), told), nil
}
