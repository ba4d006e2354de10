package block

import (
	"cmp"
	"slices"
	"strings"

	"fairhand/block/rulebook"
)

// The people of a box: what each may put his name to, who is on duty, and what
// another hand has to sign.

// ByPIN in Which of an entry that somebody signs says that his PIN was given with the name.
const ByPIN = "by-pin"

// Signs says whether by an entry of a kind its subject puts his name to something, with
// the PIN where the box wants that.
func (k Kind) Signs() bool { return k == DutyOn || k == Sign || k == Countersign }

// KnownByPIN says whether whoever signs an entry is known by his PIN: it was given with
// the name, or when he began the turn that he is in. In the turn of somebody else he is
// another hand, and gives it.
func (s *State) KnownByPIN(e *Event) bool {
	if e.Which == ByPIN {
		return true
	}
	n := len(s.OnDuty) - 1
	return e.Kind != DutyOn && n >= 0 && s.OnDuty[n].Name == e.Subject && s.OnDuty[n].ByPIN
}

// Role is what somebody named in the book may be.
type Role struct {
	Name  string
	Under bool   // signs on only under a signaller who is on duty
	May   []Kind // of what asks for a certain role, what he may put his name to
}

// Roles lists them. Of the kinds that none has, anybody may be the subject.
// Source: common practice; trainees, GERT8000-TS1 1.3 as read in study cards.
var Roles = []Role{
	{Name: "signaller", May: []Kind{DutyOn, Countersign}},
	{Name: "relief", May: []Kind{DutyOn, Countersign}},
	{Name: "trainee", May: []Kind{DutyOn}, Under: true},
	{Name: "inspector", May: []Kind{Sign, Countersign, PINReset}},
	{Name: "manager", May: []Kind{Sign, Countersign, PINReset}},
	{Name: "technician", May: []Kind{Countersign}},
	{Name: "pilot"},
	{Name: "handsignaller"},
	{Name: "other"},
}

// RoleOf is the role of somebody of the box: a signaller where the box does not
// say; nil for somebody it does not list.
func (b *Box) RoleOf(name string) *Role {
	p := first(b.People, func(p *Person) bool { return p.Name == name })
	if p == nil {
		return nil
	}
	return cmp.Or(first(Roles, func(r *Role) bool { return r.Name == p.Role }), &Roles[0])
}

// hand notes somebody who puts his name to what his role may not sign, or whom the
// box does not list where it lists its people.
func (st *step) hand(name string) {
	r := st.b.RoleOf(name)
	if r == nil && len(st.b.People) > 0 {
		st.note(rulebook.NotQualified, "", "", name+" listed among the people of this box")
	}
	if r == nil || slices.Contains(r.May, st.e.Kind) {
		return
	}
	want, done := "a signaller", "Worked"
	if st.e.Kind != DutyOn {
		var may []string
		for _, o := range Roles {
			if slices.Contains(o.May, st.e.Kind) {
				may = append(may, o.Name)
			}
		}
		want, done = "somebody listed as "+strings.Join(may, " or "), "Signed"
	}
	st.note(rulebook.NotQualified, "", "", want).Text = done + " by " + name + ", who is listed as " + r.Name
}

// proven notes one who signs without his PIN where the box wants it.
func (st *step) proven(rule rulebook.RuleID) {
	if st.b.PINs && !st.s.KnownByPIN(st.e) {
		st.note(rule, "", "", "the PIN of "+st.e.Subject+" given with his name")
	}
}

// signed takes the signature of another than the one whose turn it is.
func (st *step) signed() {
	st.hand(st.e.Subject)
	st.proven(rulebook.SignedWithoutPIN)
}

func (st *step) dutyOn() {
	name := st.e.Subject
	st.s.DutyKnown = true
	r := st.b.RoleOf(name)
	if r != nil && r.Under {
		if !slices.ContainsFunc(st.s.OnDuty, func(o OnDuty) bool { return o.Name == st.e.Party && o.Under == "" }) {
			st.note(rulebook.NotQualified, "", "", "a signaller on duty named, under whom "+name+" works; he is listed as "+r.Name)
		}
	} else {
		st.hand(name)
	}
	st.proven(rulebook.DutyWithoutPIN)
	if st.e.Party == "" { // a trainee takes nothing over
		st.toSign(name)
		st.takeOver()
	}
	on := slices.Clone(st.s.OnDuty)
	if i := slices.IndexFunc(on, func(o OnDuty) bool { return o.Name == name }); i >= 0 {
		on[i].Under, on[i].ByPIN = st.e.Party, st.e.Which == ByPIN
	} else {
		on = append(on, OnDuty{name, st.e.At, st.e.Seq, st.e.Party, st.e.Which == ByPIN})
	}
	st.s.OnDuty = on
}

func (st *step) dutyOff() {
	st.s.DutyKnown = true
	st.s.OnDuty = slices.DeleteFunc(slices.Clone(st.s.OnDuty), func(o OnDuty) bool { return o.Name == st.e.Subject })
	for _, o := range st.s.OnDuty {
		if o.Under == st.e.Subject {
			st.note(rulebook.NotQualified, "", "", o.Name+" signed on under another signaller, or signed off first")
		}
	}
}

// Writer is who writes when the book stands so: whoever signed on last; "" for nobody.
func (s *State) Writer() string {
	if n := len(s.OnDuty); n > 0 {
		return s.OnDuty[n-1].Name
	}
	return ""
}

// Seconds are the words for what a box may want countersigned by another hand.
var Seconds = []string{"transfers", "corrections"}

// Unsigned is an entry that no other hand has signed yet.
type Unsigned struct {
	Seq  int64
	What string // one of Seconds
	By   string // who wrote it
}

// maxUnsigned is how many of them are remembered; where the box wants no
// countersignature, none may ever come.
const maxUnsigned = 50

// unsigned remembers a transfer of a token, or a correction.
func (st *step) unsigned() {
	what := Seconds[0]
	if st.e.Kind == Correct {
		what = Seconds[1]
	}
	list := append(slices.Clone(st.s.Unsigned), Unsigned{st.e.Seq, what, st.s.Writer()})
	st.s.Unsigned = list[max(0, len(list)-maxUnsigned):]
}

// toSign is what a signaller who comes on duty has to countersign: a disconnection
// that is open, and what the box wants another hand for.
func (st *step) toSign(name string) {
	for _, g := range st.s.Gear {
		if g.Disconnected && g.By != name && !slices.Contains(g.Signed, name) {
			st.owe(rulebook.DisconnectionNotCountersigned, Pending{Section: -1, Of: g.Seq})
		}
	}
	for _, u := range st.s.Unsigned {
		if u.By != name && slices.Contains(st.b.Second, u.What) {
			st.owe(rulebook.EntryNotCountersigned, Pending{Section: -1, Of: u.Seq})
		}
	}
}

// countersign takes the signature of another hand than the writer's under one entry.
func (st *step) countersign() {
	s, name := st.s, st.e.Subject
	st.signed()
	own := func(by string) bool {
		if by != name {
			return false
		}
		st.note(rulebook.CountersignedByOwnHand, "", "", "another hand than that of "+name+", who wrote the entry")
		return true
	}
	about := func(p *Pending) bool { return p.Of == st.e.Target }
	if i := slices.IndexFunc(s.Gear, func(g GearState) bool { return g.Seq == st.e.Target && g.Disconnected }); i >= 0 && !own(s.Gear[i].By) {
		s.Gear = slices.Clone(s.Gear)
		s.Gear[i].Signed = append(slices.Clone(s.Gear[i].Signed), name)
		st.bring(rulebook.DisconnectionNotCountersigned, about)
	}
	if i := slices.IndexFunc(s.Unsigned, func(u Unsigned) bool { return u.Seq == st.e.Target }); i >= 0 && !own(s.Unsigned[i].By) {
		s.Unsigned = slices.Delete(slices.Clone(s.Unsigned), i, i+1)
		st.bring(rulebook.EntryNotCountersigned, about)
	}
}

// PIN is by what somebody's PIN is known: nothing of the PIN itself.
type PIN struct {
	Name   string
	Digest string // SHA-256 of the record that checks it, in hex
	Seq    int64  // entry that says so
}

// PINOf finds by what somebody's PIN is known; nil when he has none.
func (s *State) PINOf(name string) *PIN {
	return first(s.PINs, func(p *PIN) bool { return p.Name == name })
}

func (st *step) pin() {
	if st.e.Kind == PINReset {
		if st.e.Party == "" || st.e.Party == st.e.Subject {
			st.note(rulebook.NotQualified, "", "", "somebody else named who lets "+st.e.Subject+" have another PIN")
		} else {
			st.hand(st.e.Party)
		}
	}
	list := slices.DeleteFunc(slices.Clone(st.s.PINs), func(p PIN) bool { return p.Name == st.e.Subject })
	st.s.PINs = append(list, PIN{st.e.Subject, st.e.Which, st.e.Seq})
}
