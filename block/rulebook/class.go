package rulebook

// Class is what kind of train a description is for, as far as a rule asks.
type Class uint8

// The classes of train that rules and running times tell apart.
const (
	AnyClass Class = iota
	Passenger
	Freight
	LightEngine
	EmptyStock
	Trolley
	ClassCount
)

var classWords = [ClassCount]string{"any", "passenger", "freight", "light engine", "empty stock", "trolley"}

func (c Class) String() string { return classWords[c] }
