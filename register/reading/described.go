package reading

import (
	"fmt"
	"strings"
	"sync"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
	"fairhand/register/store"
)

// Description is the box as it was described from an entry on.
type Description struct {
	Entry int64 // that brought it in; 0: the register began with it
	*boxfile.File
}

// descriptions are those that a register was worked under, the oldest first.
type descriptions struct {
	mu   sync.Mutex
	list []Description
}

// Described gives the description that was in force after an entry: of entries
// before the first that is kept, that one. It is nil in a register that keeps none.
func (r Register) Described(after int64) (*Description, error) {
	r.boxes.mu.Lock()
	defer r.boxes.mu.Unlock()
	if err := r.load(); err != nil {
		return nil, err
	}
	list := r.boxes.list
	if len(list) == 0 {
		return nil, nil
	}
	in := &list[0]
	for i := range list {
		if list[i].Entry <= after {
			in = &list[i]
		}
	}
	return in, nil
}

// Descriptions gives all that the register was worked under, the oldest first.
func (r Register) Descriptions() ([]Description, error) {
	r.boxes.mu.Lock()
	defer r.boxes.mu.Unlock()
	err := r.load()
	return r.boxes.list[:len(r.boxes.list):len(r.boxes.list)], err
}

// load takes in what has been kept since it was last looked, under the lock.
func (r Register) load() error {
	texts := []store.Description{{Text: r.st.Meta().Description}}
	if len(r.boxes.list) > 0 || texts[0].Text == "" {
		var err error
		if texts, err = r.st.Descriptions(r.lastDescribed()); err != nil {
			return err
		}
	} else if more, err := r.st.Descriptions(0); err != nil {
		return err
	} else {
		texts = append(texts, more...)
	}
	for _, t := range texts {
		if err := r.take(t); err != nil {
			return err
		}
	}
	return nil
}

func (r Register) lastDescribed() int64 {
	if n := len(r.boxes.list); n > 0 {
		return r.boxes.list[n-1].Entry
	}
	return 0
}

// take proves a text by the entry that names it and reads it, as what follows the
// one before.
func (r Register) take(t store.Description) error {
	if t.Entry > 0 {
		rows, err := r.st.Range(t.Entry, t.Entry)
		if err != nil {
			return err
		}
		var ev block.Event
		if len(rows) > 0 {
			ev, _ = notation.NewStored(r.loc).Event(block.Time(rows[0].At), rows[0].Line)
		}
		if ev.Kind != block.Described || ev.Subject != store.Digest(t.Text) {
			return store.DescriptionLost(r.st.Path(), t.Entry)
		}
	}
	name := fmt.Sprintf("the description of the box kept with entry %d", t.Entry)
	file, err := boxfile.Decode(strings.NewReader(t.Text), name)
	if err != nil {
		return fmt.Errorf("this version cannot read %w", err)
	}
	if n := len(r.boxes.list); n > 0 {
		if err := file.Box.Follow(r.boxes.list[n-1].Box); err != nil {
			return fmt.Errorf("%s does not follow from the one before: %w", name, err)
		}
	}
	r.boxes.list = append(r.boxes.list, Description{t.Entry, file})
	return nil
}

// bringsIn gives an entry the description that it brings in.
func (r Register) bringsIn(ev *block.Event) error {
	d, err := r.Described(ev.Seq)
	if err != nil {
		return err
	}
	if d == nil || d.Entry != ev.Seq {
		return store.DescriptionLost(r.st.Path(), ev.Seq)
	}
	ev.Box = d.Box
	return nil
}
