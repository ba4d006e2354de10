package block

// CrossingState is what stands at one level crossing.
type CrossingState struct {
	Asked []Call // callers waiting for word, oldest first
	Out   []Call // users given leave and not reported clear
	Last  Call   // the call last answered: a guess for the next
	Road  Road   // as last recorded
	Since Since  // of Road

	Twice    bool    `json:",omitempty"` // opened last when it was open already
	Unclosed []int64 `json:",omitempty"` // entries on which was found what a step not booked would explain: see unclosed
	Removed  Since   `json:",omitzero"`  // obstruction removed given for a line over it that is obstructed by the book

	NotHeard, GatesOpen, Obstructed, Attended, Secured Since

	Attendant string
	Said      Since // another told that it is clear, and nothing of it since
	Left      Since // attendant gone while under local control
	Means     bool  // spoken with otherwise since its telephone failed

	Told      []Advice    // trains the keeper was told of and that are not past
	Cleared   []Clearance // trains for which a protecting signal was cleared and that are not past
	Cautioned []int       // trains cautioned for it
	Past      []int       // trains reported past it
	Gone      []SentOver  // trains sent over it that nothing else reports past
	Calls     []Time      // when it was last asked, the latest last
	DoubtSeq  int64       // first entry found against the doubt that stands, 0 for none
	Between   int         // calls since the last signing on that came between a signal cleared and its train
	PN        string      // private number last exchanged with the keeper
}

// Call is one user's wish to cross, and what became of it.
type Call struct {
	What     string
	Minutes  Time // as the user says; 0 when not booked
	Large    bool
	At       Time // asked, 0 when no call is booked
	Seq      int64
	Given    Time // permission
	GivenSeq int64
	Until    Time // when the user says to be clear
	Due      bool // to be reported clear
	Waits    bool // told to wait
	Let      bool // a train let towards it has been raised
}

// Since is when something began and the entry that says so; Seq 0: it is not so.
type Since struct {
	At  Time
	Seq int64
}

func (s Since) is() bool { return s.Seq != 0 }

// Road is whether a crossing is open to the road.
type Road uint8

// The states of a crossing to the road.
const (
	RoadUnknown Road = iota
	RoadClosed
	RoadOpen
	RoadLocal // under local control
)

// Advice is a train of which a keeper was told.
type Advice struct {
	Train  string
	At     Time
	Seq    int64 // 0 when only his assurance is booked
	Closed bool  // his assurance is booked
}

// SentOver is a train on its way over a crossing that nothing but a word from there
// reports past.
type SentOver struct {
	Name        string
	From, Until Time // the earliest it can be there; when it has reached the other end
}

// Clearance is a protecting signal cleared for a train that is not yet past.
type Clearance struct {
	Signal string
	Line   int
	Train  int // 0 when it could not be told
	At     Time
	Seq    int64
	On     Time // when the signal was put back, 0 while it is off
}

// words says how the train was given its way.
func (c *Clearance) words() string {
	if c.Signal == "" {
		return "authority past its signal was given"
	}
	return c.Signal + " was cleared"
}
