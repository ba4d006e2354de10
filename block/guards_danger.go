package block

import "fairhand/block/rulebook"

// DangerAnswer is what was answered to an obstruction danger received.
type DangerAnswer uint8

// The answers. Source: signaller study cards (obstruction danger): 6, or that the train
// runs without authority where it has passed already.
const (
	DangerUnanswered DangerAnswer = iota // or the answer is not booked
	DangerHeld                           // by its own code: trains are stopped here
	DangerPassed                         // by the signal for a train running away: it had gone
)

// dangerAnswered notes on a line how its obstruction danger was answered.
func (st *step) dangerAnswered(asked *Asked, how DangerAnswer) {
	if acts[asked.Means].given == ActDanger && asked.Open && !asked.Sent {
		st.editLine(asked.Line).Danger = how
	}
}

// stoppedByDanger: once obstruction danger stands, a train that has line clear is
// stopped. One that was passing then may be belled a little later, unless the answer
// said that no train had gone; where the answer said that it had, its departure may
// be written late. Source: signaller study cards (obstruction danger); Great Southern
// Railways 1933, rule 178.
var stoppedByDanger = Guard{
	Name: "train gone before the danger", Rule: rulebook.EnteredWhileBlocked, Mine: true,
	Says:     "A train was let onto the line after obstruction danger",
	Expected: "the train stopped, with obstruction danger received or sent before it went",
	holds: func(d *action) bool {
		if !wasAccepted.holds(d) || d.train == nil || d.train.occupies(d.line) {
			return true // another guard says so, or it was judged when it went
		}
		ls := d.ls() // a departure written after it came after it
		late := ls.Danger == DangerPassed || ls.Danger == DangerUnanswered && d.act == ActEnter
		return d.e.At < ls.Since || late && d.e.At <= ls.Since+d.b.Limit(rulebook.EnteringAfter)
	},
}

// wasInSection: what stands over the obstruction is told out as ever, and the line blocked yet.
var wasInSection = Guard{
	Name:  "the train in the section when it was blocked",
	holds: func(d *action) bool { return d.train != nil && d.train.shownIn(d.line) },
}

var blockedBehind = Guard{
	Name:  "blocked back, behind the train taken for that or going away",
	holds: func(d *action) bool { return d.ls().Behind != Normal },
}
