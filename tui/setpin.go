package tui

import (
	"fmt"
	"slices"
	"strings"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/pins"
)

// Somebody's PIN is set at the desk: he is named, gives the one he has, and types the
// new one twice. One that is forgotten another lets be set anew, by fairhand pin.

// secretWanted is what is typed unseen.
type secretWanted uint8

const (
	signingOn  secretWanted = iota // the PIN that goes with a name
	presentPIN                     // the one he has, before another is set
	newPIN
	newPINAgain
)

var (
	secretPrompts = [...]string{"PIN:", "the present PIN:", "the new PIN:", "once more:"}
	secretHints   = [...]string{
		signingOn:   " Forgotten: %s signs without it; that is found, and stands in the book.",
		presentPIN:  " Forgotten: an inspector or manager lets it be set anew, by fairhand pin NAME --reset-by NAME.",
		newPIN:      fmt.Sprintf(" %d to %d characters. That it was set is an entry; nothing of the PIN stands in it.", pins.Least, pins.Most),
		newPINAgain: " To be sure that it was typed as it was meant.",
	}
)

// lastOn is who signed on last; "" for nobody.
func (m *sight) lastOn() string {
	if n := len(m.state.OnDuty); n > 0 {
		return m.state.OnDuty[n-1].Name
	}
	return ""
}

// toPIN asks for what a new PIN of somebody needs.
func (m model) toPIN(name string) model {
	name = strings.Trim(name, `"`)
	i := slices.IndexFunc(m.box.People, func(p block.Person) bool { return strings.EqualFold(p.Name, name) })
	switch {
	case i >= 0:
		name = m.box.People[i].Name
	case name == "" || len(m.box.People) > 0:
		return m.saying(fmt.Sprintf("There is no %q among the people of the box. Nothing was written.", name), warn)
	}
	m.secret = secret{from: modeDesk, name: name, want: newPIN}
	if m.state.PINOf(name) != nil {
		m.secret.want = presentPIN
	}
	m.mode, m.edit, m.msg = modePIN, editor{}, message{}
	return m
}

// pinTyped takes a PIN typed for a new one to be set.
func (m model) pinTyped(text string) (model, cmd) {
	s := &m.secret
	switch s.want {
	case presentPIN:
		return m, cmd{do: provePIN, text: s.name, line: text}
	case newPIN:
		if err := pins.Check(text); err != nil {
			return m.says("No: "+err.Error()+".", warn)
		}
		s.first, s.want = text, newPINAgain
		return m, cmd{}
	}
	if text != s.first {
		s.first, s.want = "", newPIN
		return m.says("The two are not the same. Nothing was written: the new one again.", warn)
	}
	do := cmd{do: setPIN, text: s.name, line: text, signers: []signer{s.by}}
	m.mode, m.secret = modeDesk, secret{}
	return m, do
}

// setPIN sets the PIN that was typed twice.
func (c *clerk) setPIN(do cmd) msg {
	e, err := c.book.SetPIN(do.text, do.line, "", do.signers[0].given)
	if err != nil {
		return wrote{of: 1, err: err}
	}
	return wrote{entries: []register.Entry{e}, of: 1}
}

// pinSet says that a PIN was set, without the digest of its record.
func (m *model) pinSet(e *register.Entry) string {
	said := fmt.Sprintf("Written as %d: the PIN of %s is set.", e.Seq, e.Event.Subject)
	if !m.box.PINs {
		said += " box.yaml does not say pins: true: nobody is asked for it."
	}
	return said
}
