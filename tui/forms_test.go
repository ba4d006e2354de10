package tui

import (
	"slices"
	"strings"
	"testing"
)

// A kind of entry is found by the words a signaller would use for it, and what says a word
// itself stands before what only stands under a heading that has it.
func TestKindsAreFoundByOtherWords(t *testing.T) {
	r := newRig(t, "absolute.yaml", 80, 24, Options{})
	for _, c := range []struct{ typed, form string }{
		{"terminated", "train TRAIN put away"}, {"ends", "train TRAIN put away"}, {"stabled", "train TRAIN put away"},
		{"siding", "train TRAIN put away"}, {"shunt", "train TRAIN moved"}, {"caution", "train TRAIN warned"}, {"tablet lost", "SECTION token TOKEN lost"},
		{"telephone", "message to"}, {"possession", "blockage LINE"}, {"possession given back", "blockage-up"}, {"obs", "obstruct LINE"}, {"emerg", "6"},
		{"mended", "restored GEAR"}, {"defect", "failure GEAR"}, {"sign on", "duty on"}, {"inspector", "visit"}, {"flagman", "posted"}, {"banker", "train TRAIN assists"},
		{"spad", "train TRAIN authorised"}, {"collar", "reminder on"}, {"pilotman", "SECTION working by pilot"}, {"farmer", "crossing CROSSING asked"},
		{"mistake", "correct"}, {"remark", "note"}, {"token fails", "failure GEAR"}, {"token fails", "SECTION working by message"}, {"token cannot be got", "failure GEAR"}, {"not running", "train TRAIN will not run"}, {"cancelling", "3-5"}, {"Messages", "message to"}, {"overdue", "message to"}, {"train missing", "message to"}, {"stopped at signal", "train TRAIN detained"},
	} {
		r.press("k", c.typed)
		found := slices.ContainsFunc(r.desk.model.kinds(), func(k kind) bool { return strings.HasPrefix(k.Pattern, c.form) })
		if !found {
			t.Errorf("%q does not find %q but %v", c.typed, c.form, r.desk.model.kinds())
		}
		r.press("Esc")
	}
	for _, k := range r.desk.model.kinds() { // none is cut at eighty columns
		m, p, shown := r.desk.model, page{w: 80, h: 24, t: &r.desk.theme}, ""
		m.mode, m.edit = modeForms, edited(k.Says)
		formsPage(&m, &p)
		for _, row := range p.rows[2:] { // below what is typed
			for _, s := range row {
				shown += s.text
			}
			shown += "\n"
		}
		words := strings.Join(strings.Fields(strings.ReplaceAll(shown, "←", "")), " ")
		if says := strings.Join(strings.Fields(k.Says+" "+k.Pattern), " "); !strings.Contains(words, says) || strings.Contains(shown, "…") {
			t.Errorf("not shown whole: %s\n%s", says, shown)
		}
	}
	for _, c := range [][2]string{{"obs", "obstruct LINE SECTION [TEXT]"}, {"reminder", "reminder on GEAR [TEXT]"}, {"cancel", "3-5"}} {
		r.press("k", c[0])
		if got := r.desk.model.kinds()[0].Pattern; got != c[1] {
			t.Errorf("%q: first is %q, want %q", c[0], got, c[1])
		}
		r.press("Esc")
	}
}

// A kind that concerns a section begins with the one where something is out of order, and
// the kind whose line begins with the word typed stands first.
func TestTheKindBeginsWhereItIsWanted(t *testing.T) {
	r := newRig(t, "junction.yaml", 80, 24, Options{})
	r.log(duty...).log(`09:55 failure "Mossend token instrument" "no release"`).at("10:00")
	r.press("k", "by message", "Enter").want("line: Mossend working by message").press("Esc")
	r.log(`10:00 "Slate Halt" working by pilot "P. Kell"`).press("k", "working normal", "Enter").want(`line: "Slate Halt" working normal`).press("Esc")
	r.press("k", "message").want("such as message to Control").press("Esc")
	r.press("k", "stop in section").want(`such as "Hallow Road" >1 <1 >2-2-3 <2-2-3`)
}
