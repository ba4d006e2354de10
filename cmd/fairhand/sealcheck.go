package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fairhand/register"
	"fairhand/register/bounded"
	"fairhand/register/seal"
	"fairhand/register/store"
	"fairhand/register/watch"
)

func (p *program) sealCheckCommand() *cobra.Command {
	var key, neighbour string
	cmd := &cobra.Command{
		Use:   "check FILE",
		Short: "Say whether the register is still the one that was sealed",
		Long: `Say whether the register is still the one that was sealed: FILE, a statement such as
seal-167.txt with its signature beside it as FILE.sig, is verified with the public key of
the box directory or that given as --key; then each entry up to the one sealed is proved,
and its hash compared. A register that was made anew from an altered entry on is sound
in itself; this shows it.

With --neighbour DIR the register is compared with the words about it in the register of
a neighbour, which are beyond the reach of whoever has this box's key.`,
		Args: args(0, 1, "the FILE to check"),
		RunE: func(cmd *cobra.Command, given []string) error {
			if len(given) == 0 && neighbour == "" {
				return withHint(usagef("%s: the FILE to check is missing", cmd.CommandPath()), "%s, or --neighbour DIR", cmd.UseLine())
			}
			reg, err := p.openChain(cmd)
			if err != nil {
				return err
			}
			defer reg.Close()
			if len(given) > 0 {
				if err := reg.checkSeal(given[0], key); err != nil {
					return err
				}
			}
			if neighbour != "" {
				return reg.checkNeighbour(neighbour)
			}
			return nil
		},
	}
	cmd.Flags().StringVar(&key, "key", "", "public key file to check by, instead of that of the box directory")
	cmd.Flags().StringVar(&neighbour, "neighbour", "", "box directory of a neighbour whose book holds words about this register")
	return p.withJSON(" for the seal, one for the neighbour", cmd)
}

// chain is a register opened to be compared with something told of it. It is
// opened without a replay, so that a damaged one can be looked at too.
type chain struct {
	*program
	*store.Store
	ctx context.Context
	dir string
}

func (p *program) openChain(cmd *cobra.Command) (*chain, error) {
	opt, err := p.options(cmd)
	if err != nil {
		return nil, err
	}
	path := filepath.Join(opt.Dir, register.RegisterName)
	if _, err := os.Stat(path); err != nil {
		return nil, boxMissing(err, opt.Dir)
	}
	st, err := store.OpenReadOnly(path)
	if err != nil {
		return nil, err
	}
	return &chain{p, st, cmd.Context(), opt.Dir}, nil
}

// prove proves the entries up to last and hands each to look. Entries that are
// no longer there are an error that says so.
func (c *chain) prove(last int64, look func(*store.Row)) error {
	if tail := c.Tail().Seq; last > tail {
		return fmt.Errorf("%s ends with entry %d; entry %d and those before it were there and have been removed", c.Path(), tail, last)
	}
	progress := c.progress()
	for rows, err := range c.EachProved(1, last) {
		if err == nil {
			err = c.ctx.Err()
		}
		if err != nil {
			return err
		}
		for i := range rows {
			look(&rows[i])
		}
		if progress != nil {
			progress(rows[len(rows)-1].Seq, last)
		}
	}
	return nil
}

// checkSeal compares the register with a seal in a file.
func (c *chain) checkSeal(path, keyPath string) error {
	text, err := bounded.File(path, bounded.Small)
	if err != nil {
		return err
	}
	signature, err := bounded.File(path+seal.SignatureEnding, bounded.Small)
	if err != nil {
		return fmt.Errorf("the signature of %s: %w", path, err)
	}
	var public seal.Public
	if keyPath != "" {
		public, err = seal.LoadPublic(keyPath)
	} else {
		public, err = seal.PublicBeside(c.dir)
	}
	if notThere(err) {
		return withHint(err, "--key names the file of the public key")
	}
	if err != nil {
		return err
	}
	s, err := public.Read(string(text), string(signature))
	if err == nil {
		err = s.Named(path)
	}
	if err == nil {
		err = c.agrees(s)
	}
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	told := sealJSON{File: path, Signature: path + seal.SignatureEnding, Box: s.Box, First: s.First, Last: s.Last, Hash: s.Hash.String(), Sealed: sealedAt(s), Key: public.Fingerprint(), Proved: s.Last}
	return c.tell(told, "%s: entries %d to %d of %s, sealed %s with key %s\nevery entry up to %d proved, and as it was when it was sealed\n",
		path, s.First, s.Last, s.Box, told.Sealed, told.Key, s.Last)
}

// agrees proves the register up to the entry of a statement and compares it.
func (c *chain) agrees(s seal.Statement) error {
	if s.Last <= c.Tail().Seq {
		if err := c.prove(s.Last, func(*store.Row) {}); err != nil {
			return err
		}
	}
	return notTheOne(s.Fits(c))
}

// notTheOne adds what it means that a register does not fit a seal or words.
func notTheOne(err error) error {
	switch {
	case errors.Is(err, seal.ErrOtherwise), errors.Is(err, errOtherWords):
		return withHint(err, "its chain is sound in itself: it was made anew after that, from an entry on that was altered,\n"+
			"left out or put in. Compare with a backup or an export of before to find which")
	case errors.Is(err, seal.ErrRemoved):
		return withHint(err, "an older copy was put in its place, or its last entries were taken out. Look for the newest\n"+
			"backup, and what is on paper after it")
	}
	return err
}

func (p *program) sealWordsCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "words [WORDS]",
		Short: "Say the head in words, or compare words with the register",
		Long: `Say the head of the register, the number and hash of its last entry, as a number and
six words, to be told to a neighbour and written into his book. With WORDS, one
argument in quotation marks, say whether they are of this register as it is now; words
that were misheard are told from words of another register by the last of them.`,
		Args: args(0, 1, "WORDS"),
		RunE: func(cmd *cobra.Command, given []string) error {
			reg, err := p.openChain(cmd)
			if err != nil {
				return err
			}
			defer reg.Close()
			if len(given) == 0 {
				if err := reg.prove(reg.Tail().Seq, func(*store.Row) {}); err != nil {
					return err
				}
				told, err := seal.Words(reg.Tail())
				if err != nil {
					return err
				}
				said := sealJSON{Box: reg.Meta().Box, Last: reg.Tail().Seq, Hash: reg.Tail().Hash.String(), Words: told.String(), Alarms: watch.Seals(reg.dir, reg.Store)}
				return cmp.Or(p.tell(said, "%s\n", told), alarmed(said.Alarms))
			}
			told, err := seal.ParseWords(given[0])
			if err != nil {
				return &usageError{err}
			}
			if err := reg.isOf(told); err != nil {
				return err
			}
			return p.tell(sealJSON{Box: reg.Meta().Box, Last: told.Entry, Words: given[0], Proved: told.Entry},
				"every entry up to %d proved; the words are of this register\n", told.Entry)
		},
	})
}

// errOtherWords is the error of words that are of another register.
var errOtherWords = errors.New("the register is not the one the words are of")

// isOf says whether words are of the register: nil, errOtherWords, or what is
// wrong with the register.
func (c *chain) isOf(told seal.Told) error {
	var head store.Tail
	if err := c.prove(told.Entry, func(r *store.Row) { head = store.Tail{Seq: r.Seq, Hash: r.Hash} }); err != nil {
		return err
	}
	same, err := told.Match(head)
	if err != nil {
		return err
	}
	if !same {
		own, err := seal.Words(head)
		if err != nil {
			return err
		}
		return notTheOne(fmt.Errorf("%w: for entry %d it has %s", errOtherWords, told.Entry, own))
	}
	return nil
}
