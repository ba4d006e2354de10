package seal

import (
	"bytes"
	"net"
	"os"

	"golang.org/x/crypto/ssh/agent"
)

// agentKey is the private half of a public key file, in the SSH agent of whoever runs
// the program (SSH_AUTH_SOCK): the key never comes into this program. The connection
// lasts as long as the program.
func agentKey(public string) (*Key, bool) {
	p, err := LoadPublic(public)
	if err != nil {
		return nil, false
	}
	conn, err := net.Dial("unix", os.Getenv("SSH_AUTH_SOCK"))
	if err != nil {
		return nil, false
	}
	signers, err := agent.NewClient(conn).Signers()
	if err == nil {
		for _, s := range signers {
			if bytes.Equal(s.PublicKey().Marshal(), p.key.Marshal()) {
				return &Key{signer: s, Public: p}, true
			}
		}
	}
	conn.Close()
	return nil, false
}
