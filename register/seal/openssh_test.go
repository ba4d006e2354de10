package seal

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// keygen runs OpenSSH's ssh-keygen, which must agree with us on every seal.
func keygen(t *testing.T, stdin string, args ...string) (string, error) {
	t.Helper()
	path, err := exec.LookPath("ssh-keygen")
	if err != nil {
		t.Skip("ssh-keygen is not on this machine")
	}
	cmd := exec.Command(path, args...)
	cmd.Stdin = strings.NewReader(stdin)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

func put(t *testing.T, path, text string) string {
	t.Helper()
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// TestKeygenVerifies lets ssh-keygen -Y verify judge our seals: a true one is
// accepted; a changed statement, a changed signature, another key, another
// namespace are refused.
func TestKeygenVerifies(t *testing.T) {
	dir := t.TempDir()
	k, err := CreateKey(dir, "Ennerholme seal", nil)
	if err != nil {
		t.Fatal(err)
	}
	sig, err := k.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	stranger, err := CreateKey(t.TempDir(), "", nil)
	if err != nil {
		t.Fatal(err)
	}
	box := "Sand Lane No. 2"
	allowed := put(t, filepath.Join(dir, "allowed"), k.Public.AllowedSigners(box)+"\n")
	strangers := put(t, filepath.Join(dir, "strangers"), stranger.Public.AllowedSigners(box)+"\n")
	sigFile := put(t, filepath.Join(dir, "seal.sig"), sig)
	blob := unarmor(t, sig)
	blob[len(blob)-1] ^= 1
	badSig := put(t, filepath.Join(dir, "bad.sig"), armor(blob))

	verify := func(signers, ns, sigFile, text string) (string, error) {
		return keygen(t, text, "-Y", "verify", "-f", signers, "-I", Principal(box), "-n", ns, "-s", sigFile)
	}
	if out, err := verify(allowed, Namespace, sigFile, valeText); err != nil || !strings.Contains(out, "Good") {
		t.Fatalf("a true seal: %v: %s", err, out)
	}
	for name, c := range map[string][4]string{
		"changed statement": {allowed, Namespace, sigFile, strings.Replace(valeText, "4123", "4124", 1)},
		"changed signature": {allowed, Namespace, badSig, valeText},
		"another key":       {strangers, Namespace, sigFile, valeText},
		"another namespace": {allowed, "file", sigFile, valeText},
	} {
		if out, err := verify(c[0], c[1], c[2], c[3]); err == nil {
			t.Errorf("%s was accepted: %s", name, out)
		}
	}
}

// TestKeygenKey loads a key made by ssh-keygen and compares the signature that
// ssh-keygen makes with ours: Ed25519 leaves nothing to chance (RFC 8032), so the
// armoured text must be the same. Its other namespaces and keys are refused.
func TestKeygenKey(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, KeyName)
	if out, err := keygen(t, "", "-q", "-t", "ed25519", "-N", "", "-C", "made by OpenSSH", "-f", path); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	k, err := LoadKey(dir, nil)
	if err != nil || k.Public.Comment != "made by OpenSSH" {
		t.Fatalf("%+v, %v", k, err)
	}
	if out, err := keygen(t, "", "-l", "-f", path+".pub"); err != nil || !strings.Contains(out, k.Public.Fingerprint()) {
		t.Errorf("fingerprint %s, %v: %s", k.Public.Fingerprint(), err, out)
	}
	ours, err := k.Sign(vale())
	if err != nil {
		t.Fatal(err)
	}
	sign := func(ns string, more ...string) string {
		text := put(t, filepath.Join(dir, "text-"+ns+strings.Join(more, "")), valeText)
		args := append([]string{"-Y", "sign", "-f", path, "-n", ns}, more...)
		if out, err := keygen(t, "", append(args, text)...); err != nil {
			t.Fatalf("%v: %s", err, out)
		}
		sig, err := os.ReadFile(text + ".sig")
		if err != nil {
			t.Fatal(err)
		}
		return string(sig)
	}
	if theirs := sign(Namespace); theirs != ours {
		t.Errorf("ssh-keygen signs\n%s\nand we\n%s", theirs, ours)
	}
	if err := k.Public.Verify(valeText, sign(Namespace, "-O", "hashalg=sha256")); err != nil {
		t.Errorf("its other hash: %v", err)
	}
	if err := k.Public.Verify(valeText, sign("file")); !errors.Is(err, ErrSignature) {
		t.Errorf("a signature for something else: %v", err)
	}
}

func TestKeygenOtherKind(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, KeyName)
	if out, err := keygen(t, "", "-q", "-t", "ecdsa", "-N", "", "-f", path); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	if _, err := LoadKey(dir, nil); !errors.Is(err, ErrKeyKind) {
		t.Errorf("an ECDSA key: %v", err)
	}
	if _, err := LoadPublic(path + ".pub"); !errors.Is(err, ErrKeyKind) {
		t.Errorf("its public half: %v", err)
	}
}

// TestOurKeyWithKeygen lets ssh-keygen read the private key that we write.
func TestOurKeyWithKeygen(t *testing.T) {
	dir := t.TempDir()
	k, err := CreateKey(dir, "Ennerholme seal", nil)
	if err != nil {
		t.Fatal(err)
	}
	out, err := keygen(t, "", "-y", "-f", filepath.Join(dir, KeyName))
	if err != nil || strings.TrimSpace(out) != k.Public.Line() {
		t.Errorf("%v: %s, want %s", err, out, k.Public.Line())
	}
}
