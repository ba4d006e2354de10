package watch

import (
	"io/fs"
	"os"
	"sync"
	"time"

	"fairhand/register/store"
)

// Damage proves a copy or a volume from its first entry to its last: one may be altered in
// its middle and end as it did.
func Damage(path string) error {
	c, err := store.OpenReadOnly(path)
	if err != nil {
		return err
	}
	defer c.Close()
	_, err = c.Verify(nil)
	return err
}

// Proofs is for who asks for Damage again and again: each file is proved once while it stays
// the same by its length and time. Several goroutines may use it.
type Proofs struct {
	mu   sync.Mutex
	made map[string]proofMade
}

// proofMade is what came of proving a file, and the file that it was.
type proofMade struct {
	size   int64
	at     time.Time
	damage error
}

// Damage proves a file, or says what came of it when that was done.
func (p *Proofs) Damage(path string) error {
	_, damage := p.damage(path, true)
	return damage
}

// damage says in what a file is not whole, as far as that is known: one that was not proved as
// it is now is proved only where prove asks for it.
func (p *Proofs) damage(path string, prove bool) (known bool, damage error) {
	info, err := os.Stat(path)
	if err != nil {
		return true, err
	}
	p.mu.Lock()
	was, known := p.made[path]
	p.mu.Unlock()
	if known = known && was.size == info.Size() && was.at.Equal(info.ModTime()); !known && prove {
		known, was.damage = true, Damage(path)
		p.keep(path, info, was.damage)
	}
	return known, was.damage
}

// keep keeps what came of proving a file.
func (p *Proofs) keep(path string, info fs.FileInfo, damage error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.made == nil {
		p.made = map[string]proofMade{}
	}
	p.made[path] = proofMade{info.Size(), info.ModTime(), damage}
}
