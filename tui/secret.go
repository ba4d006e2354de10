package tui

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"fairhand/block"
	"fairhand/register"
	"fairhand/register/pins"
)

// A PIN is asked for when somebody signs on, or signs in the turn of another, where the
// box wants it; what was to be written waits. It can always be passed over: the book tells that. The desk is locked
// by a key, or when none has come for long; the line goes on being shown.

// secret is what is typed unseen, and what waits for it.
type secret struct {
	edit editor
	from mode
	name string // whose PIN
	do   cmd    // what waits for it

	want  secretWanted
	by    signer // who has given the PIN that he has
	first string // the new one, as typed first
}

// signer is somebody about whose PIN it was asked.
type signer struct {
	name  string
	given register.Given // his PIN; none when it was passed over
	wrong int            // PINs given before the right one
}

// wantsPIN says that what is to be done waits for somebody's PIN.
type wantsPIN struct {
	do   cmd
	name string
}

// opened is how it ended that something was typed unseen; without err, do follows.
type opened struct {
	do  cmd
	by  signer // whose PIN it was
	err error
}

var errNotOnDuty = errors.New("that is neither the name of somebody on duty, nor a PIN that is looked at now; the name serves at once")

// pinAsked says whose PIN a command waits for; nil for nobody's.
func (c *clerk) pinAsked(do cmd, events []block.Event) msg {
	if !c.book.Box().PINs || do.sure {
		return nil
	}
	for _, e := range events {
		known := e.Which != block.ByPIN && c.book.State().KnownByPIN(&e)
		if e.Kind.Signs() && !known && c.book.State().PINOf(e.Subject) != nil && do.signer(e.Subject) == nil {
			return wantsPIN{do, e.Subject}
		}
	}
	return nil
}

func (do *cmd) signer(name string) *signer {
	if i := slices.IndexFunc(do.signers, func(s signer) bool { return s.name == name }); i >= 0 {
		return &do.signers[i]
	}
	return nil
}

// signed gives the entries that somebody signs what came of asking for the PIN.
func (c *clerk) signed(do cmd, events []block.Event) []block.Event {
	events = slices.Clone(events)
	for i := range events {
		e := &events[i]
		s := do.signer(e.Subject)
		if !e.Kind.Signs() || s == nil {
			continue
		}
		given := s.given.Of(s.name)
		if !given {
			s.wrong = c.book.WrongPINs(s.name)
		}
		if e.Which = ""; given {
			e.Which = block.ByPIN
		}
		if s.wrong > 0 {
			e.Text = strings.TrimPrefix(e.Text+fmt.Sprintf("; wrong PINs before: %d", s.wrong), "; ")
		}
	}
	return events
}

// prove checks the PIN that a command waits for.
func (c *clerk) prove(do cmd) msg {
	wrong := c.book.WrongPINs(do.text)
	given, err := c.book.CheckPIN(do.text, do.line)
	by := signer{do.text, given, wrong}
	if err != nil || do.then == nil {
		return opened{by: by, err: err}
	}
	then := *do.then
	then.signers = append(slices.Clip(then.signers), by)
	return opened{do: then}
}

// unlock says whether what was typed is the name of somebody on duty, or his PIN.
func (c *clerk) unlock(do cmd) msg {
	on := c.book.State().OnDuty
	if len(on) == 0 || slices.ContainsFunc(on, func(o block.OnDuty) bool { return strings.EqualFold(o.Name, do.text) }) {
		return opened{}
	}
	for _, o := range on {
		if c.book.State().PINOf(o.Name) == nil {
			continue
		}
		if _, err := c.book.CheckPIN(o.Name, do.text); err == nil {
			return opened{}
		}
	}
	return opened{err: errNotOnDuty}
}

// askPIN asks for a PIN.
func (m model) askPIN(w wantsPIN) model {
	m.secret = secret{from: m.mode, name: w.name, do: w.do}
	m.mode, m.msg = modePIN, message{}
	return m
}

// lock locks the desk. With nobody on duty there is nobody to open it.
func (m model) lock() model {
	if len(m.state.OnDuty) == 0 {
		return m.saying("Nobody is on duty: there is nobody who could unlock it. u signs on.", warn)
	}
	m.secret = secret{from: m.mode}
	m.mode, m.msg = modeLocked, message{}
	return m
}

// neverLocked are the modes in which something waits for an answer now.
var neverLocked = in(modeLocked, modePIN, modeStop, modeClock, modeSure, modeObstruct, modeQuit)

// lockIdle locks the desk when no key has come for as long as the box says.
func (m model) lockIdle(when time.Time) model {
	after := time.Duration(m.box.LockAfter) * time.Second
	switch {
	case after == 0 || len(m.state.OnDuty) == 0 || neverLocked.has(m.mode):
		return m
	case m.keyed.IsZero():
		m.keyed = when
	case when.Sub(m.keyed) >= after:
		return m.lock()
	}
	return m
}

// pressSecret is the keys while something is typed unseen.
func (m model) pressSecret(p pressed) (model, cmd) {
	s := &m.secret
	switch p.do {
	case doText:
		s.edit = s.edit.put(p.key)
	case doAccept:
		text := strings.TrimSpace(s.edit.String())
		s.edit = editor{}
		switch {
		case m.mode == modeLocked:
			return m, cmd{do: unlockDesk, text: text}
		case s.want != signingOn:
			return m.pinTyped(text)
		}
		then := s.do
		return m, cmd{do: provePIN, text: s.name, line: text, then: &then}
	case doRefuse: // passed over
		if m.mode != modePIN || s.want != signingOn {
			return m, cmd{}
		}
		do := s.do
		do.signers = append(slices.Clip(do.signers), signer{name: s.name})
		m.mode, m.secret = s.from, secret{}
		return m, do
	case doDrop:
		if s.edit = (editor{}); m.mode == modePIN {
			m.msg = message{"Nobody signed. Nothing was written.", calm}
			if s.want != signingOn {
				m.msg.text = "No PIN was set. Nothing was written."
			}
			m.mode, m.secret = s.from, secret{}
		}
	default:
		s.edit = s.edit.do(p.do)
	}
	return m, cmd{}
}

// unseen takes how it ended.
func (m model) unseen(o opened) (model, cmd) {
	if o.err != nil {
		return m.says("No: "+o.err.Error()+".", warn)
	}
	if m.mode == modePIN && m.secret.want == presentPIN {
		m.secret.want, m.secret.by = newPIN, o.by
		return m, cmd{}
	}
	m.mode, m.secret = m.secret.from, secret{}
	return m, o.do
}

// secretPanel shows that something is typed, and not what.
func secretPanel(m *model, p *page) []row {
	hidden := editor{[]rune(strings.Repeat("*", len(m.secret.edit.text))), m.secret.edit.at}
	if m.mode == modeLocked {
		return []row{ruled(p.t, " LOCKED ", p.w), field("name of who is on duty, or PIN:", hidden, 0, p)}
	}
	return []row{
		ruled(p.t, " PIN OF "+strings.ToUpper(m.secret.name)+" ", p.w),
		field(secretPrompts[m.secret.want], hidden, 0, p),
		line(dim, strings.Replace(secretHints[m.secret.want], "%s", m.key("Tab"), 1)),
	}
}

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
