package boxfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"go.yaml.in/yaml/v3"
)

// Description is a box in plain answers, as somebody would give them when asked
// and as the file writes them: what a new box is asked for. All other keys are added
// to the file by hand. What is left empty is left out of the file.
type Description struct {
	Railway    string                `yaml:"railway,omitempty"`
	Box        string                `yaml:"box"`
	Timezone   string                `yaml:"timezone,omitempty"`
	Rules      string                `yaml:"rules"`
	ClockCheck string                `yaml:"clock-check,omitempty"`
	Sections   []SectionDescription  `yaml:"sections"`
	Places     []PlaceDescription    `yaml:"places,omitempty"`
	Signals    []SignalDescription   `yaml:"signals,omitempty"`
	Gear       []GearDescription     `yaml:"gear,omitempty"`
	Crossings  []CrossingDescription `yaml:"crossings,omitempty"`
	People     []PersonDescription   `yaml:"people,omitempty"`
	PINs       bool                  `yaml:"pins,omitempty"`
	Timetable  string                `yaml:"timetable,omitempty"`
}

// SectionDescription is the answers for one section.
type SectionDescription struct {
	Neighbour      string             `yaml:"neighbour"`
	Method         string             `yaml:"method"`
	Lines          []LineDescription  `yaml:"lines"`
	Towards        string             `yaml:"towards,omitempty"`
	ClearingPoint  Number             `yaml:"clearing-point,omitempty"`
	Allow          []string           `yaml:"allow,flow,omitempty"`
	Tokens         *TokensDescription `yaml:"tokens,omitempty"`
	Staff          string             `yaml:"staff,omitempty"`
	Offer          *bool              `yaml:"offer,omitempty"` // nil as usual
	Trains         Number             `yaml:"trains,omitempty"`
	Source         string             `yaml:"source,omitempty"`
	RunningMinutes Pairs              `yaml:"running-minutes,omitempty"`
}

// LineDescription is the answers for one line.
type LineDescription struct {
	Name string `yaml:"name"`
	Way  string `yaml:"way,omitempty"`
}

// TokensDescription is the answers for the tokens of a section.
type TokensDescription struct {
	Charge   string `yaml:"charge"`
	Here     string `yaml:"here"`
	LowStock int    `yaml:"low-stock,omitempty"`
}

// PlaceDescription is the answers for one place.
type PlaceDescription struct {
	Name       string `yaml:"name"`
	Holds      int    `yaml:"holds,omitempty"`
	BeyondHome Pairs  `yaml:"beyond-home,omitempty"`
	Siding     bool   `yaml:"siding,omitempty"`
}

// SignalDescription is the answers for one signal.
type SignalDescription struct {
	Name    string `yaml:"name"`
	Kind    string `yaml:"kind"`
	Section string `yaml:"section"`
	Line    string `yaml:"line,omitempty"`
}

// GearDescription is the answers for one piece of gear.
type GearDescription struct {
	Name     string `yaml:"name"`
	Kind     string `yaml:"kind"`
	Section  string `yaml:"section,omitempty"`
	Crossing string `yaml:"crossing,omitempty"`
}

// CrossingDescription is the answers for one level crossing.
type CrossingDescription struct {
	Name           string   `yaml:"name"`
	Kind           string   `yaml:"kind"`
	Section        string   `yaml:"section,omitempty"`
	Place          string   `yaml:"place,omitempty"`
	MinutesFrom    Pairs    `yaml:"minutes-from,omitempty"`
	ProtectedBy    []string `yaml:"protected-by,flow,omitempty"`
	ReportClear    string   `yaml:"report-clear,omitempty"`
	ToldBefore     string   `yaml:"told-before,omitempty"`
	PrivateNumbers bool     `yaml:"private-numbers,omitempty"`
}

// PersonDescription is the answers for one person.
type PersonDescription struct {
	Name string `yaml:"name"`
	Role string `yaml:"role"`
}

// Number is a number as text, perhaps with its unit ("440", "4.5", "400 m"); in
// the file it stands without quotation marks where it can.
type Number string

// MarshalYAML writes a bare number bare.
func (v Number) MarshalYAML() (any, error) {
	n := &yaml.Node{Kind: yaml.ScalarNode, Tag: "!!str", Value: string(v)}
	if _, ok := decimal(n.Value); ok {
		n.Tag = "" // whatever plain text YAML takes it for
	}
	return n, nil
}

// Pairs are names with a number each, in the order given.
type Pairs []Pair

// Pair is one name and its number.
type Pair struct {
	Name  string
	Value Number
}

// MarshalYAML writes pairs as a mapping.
func (ps Pairs) MarshalYAML() (any, error) {
	m := &yaml.Node{Kind: yaml.MappingNode, Tag: "!!map"}
	for _, p := range ps {
		var name, value yaml.Node
		if err := errors.Join(name.Encode(p.Name), value.Encode(p.Value)); err != nil {
			return nil, err
		}
		m.Content = append(m.Content, &name, &value)
	}
	return m, nil
}

const heading = `# Description of the signal box. Fairhand reads it at every start; a key it does
# not know is an error, so nothing here is ever passed over in silence.
# Fairhand keeps a record and reminds. It protects nothing: instruments, tokens,
# signals and the railway's own rule book do.

`

// Write writes the description as a box file with a comment at the first use of
// each key. What is written has been read back first: when the answers make no
// box, the *Faults are returned and nothing is written.
func Write(w io.Writer, desc Description) error {
	var root yaml.Node
	if err := root.Encode(desc); err != nil {
		return fmt.Errorf("box description: %w", err)
	}
	says := map[string]string{}
	for _, k := range Keys() {
		says[k.Path] = k.Says
	}
	comment(&root, "", says)
	text := bytes.NewBufferString(heading)
	enc := yaml.NewEncoder(text)
	enc.SetIndent(2)
	if err := errors.Join(enc.Encode(&root), enc.Close()); err != nil {
		return fmt.Errorf("box description: %w", err)
	}
	if _, err := Decode(bytes.NewReader(text.Bytes()), "box.yaml"); err != nil {
		return err
	}
	if _, err := text.WriteTo(w); err != nil {
		return fmt.Errorf("writing the box description: %w", err)
	}
	return nil
}

// comment puts what each key says above its first use.
func comment(n *yaml.Node, path string, says map[string]string) {
	if n.Kind == yaml.SequenceNode {
		for _, c := range n.Content {
			comment(c, path, says)
			if c.Kind == yaml.MappingNode { // above the dash, not after it
				c.HeadComment, c.Content[0].HeadComment = c.Content[0].HeadComment, ""
			}
		}
		return
	}
	if n.Kind != yaml.MappingNode {
		return
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, below := n.Content[i], n.Content[i].Value
		if path != "" {
			below = path + "." + key.Value
		}
		if s := says[below]; s != "" {
			key.HeadComment = "# " + s
			delete(says, below)
		}
		comment(n.Content[i+1], below, says)
	}
}
