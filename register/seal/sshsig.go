package seal

import (
	"bytes"
	"crypto/rand"
	"crypto/sha256"
	"crypto/sha512"
	"encoding/base64"
	"errors"
	"fmt"
	"hash"
	"slices"
	"strings"

	"golang.org/x/crypto/ssh"
)

// Namespace keeps a seal from being taken for a signature made for something
// else, and the other way round.
const Namespace = "fairhand-register@local"

// Reasons for which a seal is not accepted. Test with errors.Is.
var (
	// ErrSignature: the text is no SSH signature for seals that can be read.
	ErrSignature = errors.New("not a seal's signature")
	// ErrOtherKey: it was made with another key than the one given.
	ErrOtherKey = errors.New("sealed with another key")
	// ErrChanged: the statement or the signature is not what was sealed.
	ErrChanged = errors.New("the statement or its signature was changed after sealing")
)

// The format is OpenSSH's PROTOCOL.sshsig, version 1.
const (
	sigMagic   = "SSHSIG"
	sigVersion = 1
	sigHash    = "sha512"
	armorBegin = "-----BEGIN SSH SIGNATURE-----"
	armorEnd   = "-----END SSH SIGNATURE-----"
	armorWidth = 70
	maxArmor   = 16 << 10
)

// envelope is the signature as it is kept, after the magic bytes.
type envelope struct {
	Version   uint32
	PublicKey []byte
	Namespace string
	Reserved  string
	Hash      string
	Signature []byte
}

// covered is what is signed, after the magic bytes.
type covered struct {
	Namespace string
	Reserved  string
	Hash      string
	Digest    []byte
}

// Sign seals a statement. The signature is text in SSH armour. Ed25519 has no
// chance in it: the same statement and key give the same signature.
func (k *Key) Sign(s Statement) (string, error) {
	text, err := s.Text()
	if err != nil {
		return "", err
	}
	digest := sha512.Sum512([]byte(text))
	sig, err := k.signer.Sign(rand.Reader, toSign(covered{Namespace, "", sigHash, digest[:]}))
	if err != nil {
		return "", fmt.Errorf("sealing: %w", err)
	}
	blob := ssh.Marshal(envelope{
		Version: sigVersion, PublicKey: k.Public.key.Marshal(),
		Namespace: Namespace, Hash: sigHash, Signature: ssh.Marshal(sig),
	})
	return armor(append([]byte(sigMagic), blob...)), nil
}

func toSign(c covered) []byte { return append([]byte(sigMagic), ssh.Marshal(c)...) }

func armor(blob []byte) string {
	text := armorBegin + "\n"
	for line := range slices.Chunk([]byte(base64.StdEncoding.EncodeToString(blob)), armorWidth) {
		text += string(line) + "\n"
	}
	return text + armorEnd + "\n"
}

// Verify says whether the signature is one that the key p made over the
// statement's text (nil), and otherwise why not: ErrSignature, ErrOtherKey or
// ErrChanged. The text is taken byte for byte.
func (p Public) Verify(text, signature string) error {
	env, err := open(signature)
	if err != nil {
		return err
	}
	if !bytes.Equal(env.PublicKey, p.key.Marshal()) {
		if other, err := ssh.ParsePublicKey(env.PublicKey); err == nil {
			return fmt.Errorf("%w: %s, and not %s; ask the box which key is its own", ErrOtherKey, ssh.FingerprintSHA256(other), p.Fingerprint())
		}
		return fmt.Errorf("%w: one that cannot be read", ErrOtherKey)
	}
	hash, known := map[string]hash.Hash{"sha512": sha512.New(), "sha256": sha256.New()}[env.Hash]
	if !known {
		return fmt.Errorf("%w: its hash %q is not one of PROTOCOL.sshsig", ErrSignature, firstOf(env.Hash))
	}
	hash.Write([]byte(text))
	var sig ssh.Signature
	if err := ssh.Unmarshal(env.Signature, &sig); err != nil {
		return fmt.Errorf("%w: %w", ErrSignature, err)
	}
	if err := p.key.Verify(toSign(covered{env.Namespace, env.Reserved, env.Hash, hash.Sum(nil)}), &sig); err != nil {
		return fmt.Errorf("%w: compare it with the printed or told head", ErrChanged)
	}
	return nil
}

// Read gives the statement that a text makes, once its signature has been verified.
func (p Public) Read(text, signature string) (Statement, error) {
	if err := p.Verify(text, signature); err != nil {
		return Statement{}, err
	}
	return ParseStatement(text)
}

// open takes a signature out of its armour and checks all but the key.
func open(signature string) (envelope, error) {
	var env envelope
	body, ok := strings.CutPrefix(strings.TrimSpace(strings.ReplaceAll(signature, "\r\n", "\n")), armorBegin+"\n")
	if ok {
		body, ok = strings.CutSuffix(body, "\n"+armorEnd)
	}
	if !ok || len(signature) > maxArmor {
		return env, fmt.Errorf("%w: it does not stand between %s and %s", ErrSignature, armorBegin, armorEnd)
	}
	blob, err := base64.StdEncoding.Strict().DecodeString(strings.ReplaceAll(body, "\n", ""))
	if err != nil {
		return env, fmt.Errorf("%w: %w", ErrSignature, err)
	}
	rest, ok := bytes.CutPrefix(blob, []byte(sigMagic))
	if !ok {
		return env, fmt.Errorf("%w: the bytes do not begin with %s", ErrSignature, sigMagic)
	}
	if err := ssh.Unmarshal(rest, &env); err != nil {
		return env, fmt.Errorf("%w: %w", ErrSignature, err)
	}
	if env.Version != sigVersion {
		return env, fmt.Errorf("%w: version %d is not known", ErrSignature, env.Version)
	}
	if env.Namespace != Namespace {
		return env, fmt.Errorf("%w: it was made for %q and not for %q", ErrSignature, firstOf(env.Namespace), Namespace)
	}
	return env, nil
}
