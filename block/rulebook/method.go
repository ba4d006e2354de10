package rulebook

// Method is a method of working a block section.
type Method uint8

// The methods of working. The names in methodWords are those of the box file.
const (
	Absolute       Method = iota // double-line absolute block
	Token                        // electric token, tablet or staff instruments
	StaffAndTicket               // train staff and ticket
	OneTrain                     // one train only, with or without staff
	Tokenless                    // tokenless block
	MethodCount
)

var methodWords = [MethodCount]string{"absolute", "token", "staff-and-ticket", "one-train", "tokenless"}

func (m Method) String() string { return methodWords[m] }

// Methods are the words of the methods, in order.
func Methods() []string { return methodWords[:] }

// Single says whether trains of both directions use the one line.
func (m Method) Single() bool { return m != Absolute }
