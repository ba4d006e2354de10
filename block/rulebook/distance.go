package rulebook

// Distance is a length along the line in millimetres, so that yards and metres
// compare exactly.
type Distance int64

// Yards and Metres make Distances; a yard is 914.4 mm by definition.
func Yards(n float64) Distance { return Distance(n*914.4 + 0.5) }

// Metres makes a Distance of n metres.
func Metres(n float64) Distance { return Distance(n*1000 + 0.5) }
