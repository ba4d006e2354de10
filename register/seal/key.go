package seal

import (
	"bytes"
	"crypto"
	"crypto/ed25519"
	"crypto/rand"
	"encoding/pem"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"unicode"

	"golang.org/x/crypto/ssh"

	"fairhand/register/bounded"
)

// KeyName is the file of the private key in the directory of a box; the public
// key is beside it with the ending .pub.
const KeyName = "seal_ed25519"

// Key is the box's own key, able to seal.
type Key struct {
	signer ssh.Signer
	Public Public
}

// Public is the half of a key that anyone may have.
type Public struct {
	key     ssh.PublicKey
	Comment string
}

// Reasons for which a key cannot be used. Test with errors.Is.
var (
	// ErrKeyOpen: other users of the machine may read the private key.
	ErrKeyOpen = errors.New("the sealing key can be read by others")
	// ErrKeyKind: the key is not Ed25519.
	ErrKeyKind = errors.New("not a key that can seal")
	// ErrKeyLocked: the key is locked by a passphrase, and none was given, or another.
	ErrKeyLocked = errors.New("the sealing key is locked by a passphrase")
)

// CreateKey makes a new key in dir: KeyName (OpenSSH private key format, to be
// read by its owner only) and KeyName.pub. The comment is for people; it is
// printed after the public key; a passphrase locks the key, none (nil) leaves it open
// to whoever may read the file. An existing key is never replaced: then the
// error holds fs.ErrExist.
func CreateKey(dir, comment string, passphrase []byte) (*Key, error) {
	if strings.ContainsFunc(comment, unicode.IsControl) {
		return nil, fmt.Errorf("the comment %q of the sealing key has control characters: leave them out", comment)
	}
	_, private, err := ed25519.GenerateKey(rand.Reader)
	if err != nil {
		return nil, fmt.Errorf("making a sealing key: %w", err)
	}
	k, err := keyOf(private, comment)
	if err != nil {
		return nil, err
	}
	marshal := ssh.MarshalPrivateKey
	if len(passphrase) > 0 {
		marshal = func(key crypto.PrivateKey, comment string) (*pem.Block, error) {
			return ssh.MarshalPrivateKeyWithPassphrase(key, comment, passphrase)
		}
	}
	block, err := marshal(private, comment)
	if err != nil {
		return nil, fmt.Errorf("writing down the sealing key: %w", err)
	}
	path := filepath.Join(dir, KeyName)
	if _, err := os.Lstat(path + ".pub"); err == nil {
		return nil, fmt.Errorf("making %s: %s.pub is there already, and the seals it proves would lose their key: move it elsewhere first: %w", path, path, fs.ErrExist)
	}
	if err := writeNew(path, pem.EncodeToMemory(block), 0o600); err != nil {
		return nil, fmt.Errorf("making the sealing key: %w", err)
	}
	if err := writeNew(path+".pub", []byte(k.Public.Line()+"\n"), 0o600); err != nil {
		return nil, fmt.Errorf("making the public half of the sealing key: %w", errors.Join(err, os.Remove(path)))
	}
	return k, nil
}

// writeNew writes a file that must not exist, and leaves none behind when it fails.
func writeNew(path string, data []byte, mode fs.FileMode) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, mode)
	if err != nil {
		return err
	}
	_, err = f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	if err = errors.Join(err, f.Close()); err != nil {
		return errors.Join(err, os.Remove(path))
	}
	return nil
}

// LoadKey reads the key of a box directory, made by CreateKey or by
// ssh-keygen -t ed25519. One that is locked is opened with the passphrase that ask
// gives; nil for nobody to ask. Where only the public half is there, the private one
// may be with the user's SSH agent. With neither the error holds fs.ErrNotExist; a key
// others may read is ErrKeyOpen, one of another kind ErrKeyKind, one that stays locked
// ErrKeyLocked.
func LoadKey(dir string, ask func(path string) ([]byte, error)) (*Key, error) {
	path := filepath.Join(dir, KeyName)
	data, err := readPrivate(path)
	if errors.Is(err, fs.ErrNotExist) {
		if k, ok := agentKey(path + ".pub"); ok {
			return k, nil
		}
	}
	if err != nil {
		return nil, err
	}
	comment := ""
	if p, err := LoadPublic(path + ".pub"); err == nil {
		comment = p.Comment
	}
	return parseKey(data, path, comment, ask)
}

// parseKey reads the text of a private key file; path names it in errors.
func parseKey(data []byte, path, comment string, ask func(path string) ([]byte, error)) (*Key, error) {
	raw, err := ssh.ParseRawPrivateKey(data)
	if _, ok := errors.AsType[*ssh.PassphraseMissingError](err); ok {
		if ask == nil {
			return nil, fmt.Errorf("%w: %s; there is nobody to ask for it here", ErrKeyLocked, path)
		}
		var phrase []byte
		if phrase, err = ask(path); err != nil {
			return nil, fmt.Errorf("%w: %s: %w", ErrKeyLocked, path, err)
		}
		if raw, err = ssh.ParseRawPrivateKeyWithPassphrase(data, phrase); err != nil {
			return nil, fmt.Errorf("%w: %s: that is not it: %w", ErrKeyLocked, path, err)
		}
	}
	if err != nil {
		return nil, fmt.Errorf("%w: %s cannot be read as a private key: %w", ErrKeyKind, path, err)
	}
	private, ok := raw.(*ed25519.PrivateKey)
	if !ok {
		return nil, fmt.Errorf("%w: %s is not an Ed25519 key; make one with ssh-keygen -t ed25519", ErrKeyKind, path)
	}
	if !ed25519.NewKeyFromSeed(private.Seed()).Equal(*private) { // what it signs would not hold
		return nil, fmt.Errorf("%w: %s is damaged, its halves do not belong together; put back a copy of it, or make another key", ErrKeyKind, path)
	}
	return keyOf(*private, comment)
}

func readPrivate(path string) ([]byte, error) {
	info, err := os.Stat(path)
	if err != nil {
		return nil, fmt.Errorf("the sealing key: %w", err)
	}
	if runtime.GOOS != "windows" && info.Mode().Perm()&0o077 != 0 {
		return nil, fmt.Errorf("%w: %s has mode %04o; make a new key if others use this machine, else chmod 600 %s", ErrKeyOpen, path, info.Mode().Perm(), path)
	}
	data, err := bounded.File(path, bounded.Small)
	if err != nil {
		return nil, fmt.Errorf("the sealing key: %w", err)
	}
	return data, nil
}

func keyOf(private ed25519.PrivateKey, comment string) (*Key, error) {
	signer, err := ssh.NewSignerFromKey(private)
	if err != nil {
		return nil, fmt.Errorf("using the sealing key: %w", err)
	}
	return &Key{signer: signer, Public: Public{key: signer.PublicKey(), Comment: comment}}, nil
}

// LoadPublic reads a public key file.
func LoadPublic(path string) (Public, error) {
	data, err := bounded.File(path, bounded.Small)
	if err != nil {
		return Public{}, fmt.Errorf("the public sealing key: %w", err)
	}
	p, err := ParsePublic(string(data))
	if err != nil {
		return p, fmt.Errorf("%s: %w", path, err)
	}
	return p, nil
}

// PublicBeside reads the public key in the directory of a box. Where the private one is
// there too, of which it is not the half, it is given with ErrExchanged: a private key
// tells its public half though it is locked. One that cannot be read says nothing.
func PublicBeside(dir string) (Public, error) {
	path := filepath.Join(dir, KeyName)
	p, err := LoadPublic(path + ".pub")
	data, rerr := bounded.File(path, bounded.Small)
	if err != nil || rerr != nil {
		return p, err
	}
	var half ssh.PublicKey
	if signer, err := ssh.ParsePrivateKey(data); err == nil {
		half = signer.PublicKey()
	} else if locked, ok := errors.AsType[*ssh.PassphraseMissingError](err); ok {
		half = locked.PublicKey
	}
	if half != nil && !bytes.Equal(half.Marshal(), p.key.Marshal()) {
		err = fmt.Errorf("%s.pub is not the public half of %s: %w", path, KeyName, ErrExchanged)
	}
	return p, err
}

// ParsePublic reads a public key line, such as Line gives, and nothing beside it: of two keys
// nobody would see which holds. Keys that are not Ed25519 are ErrKeyKind.
func ParsePublic(line string) (Public, error) {
	key, comment, _, _, err := ssh.ParseAuthorizedKey([]byte(line))
	if strings.Contains(strings.TrimSpace(line), "\n") {
		err = errors.New("it is more than one line")
	}
	if err != nil {
		return Public{}, fmt.Errorf("%w: no public key line such as ssh-ed25519 AAAA...: %w", ErrKeyKind, err)
	}
	if key.Type() != ssh.KeyAlgoED25519 {
		return Public{}, fmt.Errorf("%w: it is a key of the kind %s and not %s", ErrKeyKind, key.Type(), ssh.KeyAlgoED25519)
	}
	return Public{key: key, Comment: comment}, nil
}

// Line is the public key as one line without its end: kind, key, comment.
func (p Public) Line() string {
	line := strings.TrimSuffix(string(ssh.MarshalAuthorizedKey(p.key)), "\n")
	if p.Comment != "" {
		line += " " + p.Comment
	}
	return line
}

// Fingerprint is the short form that ssh-keygen -l prints: SHA256:...
func (p Public) Fingerprint() string { return ssh.FingerprintSHA256(p.key) }

// AllowedSigners is the line for ssh-keygen's file of allowed signers: the key,
// under the name Principal gives, for seals only.
func (p Public) AllowedSigners(box string) string {
	key := strings.TrimSuffix(string(ssh.MarshalAuthorizedKey(p.key)), "\n")
	return fmt.Sprintf("%s namespaces=%q %s", Principal(box), Namespace, key)
}

// Principal is the name of a box as ssh-keygen -I takes it: lower case, with a
// hyphen for what its file of allowed signers would read as something else.
func Principal(box string) string {
	clean := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == '.' || r == '_' {
			return unicode.ToLower(r)
		}
		return '-'
	}, box)
	if clean = strings.Trim(clean, "-"); clean == "" {
		return "box"
	}
	return clean
}
