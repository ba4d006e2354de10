package sheet

// Alarm is what takes the worth from a document: it stands across every page, and
// the program that made it ends with a failure.
type Alarm struct {
	Stamp string `json:"alarm"` // Damaged or SealMisfit
	Text  string `json:"text"`  // what is wrong, which entry, what to do
}

// The stamps of alarms.
const (
	Damaged    = "DAMAGED"
	SealMisfit = "SEAL DOES NOT FIT"
)

// String is an alarm in one line.
func (a Alarm) String() string { return a.Stamp + ": " + a.Text }
