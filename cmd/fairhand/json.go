package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"

	"github.com/spf13/cobra"

	"fairhand/export"
	"fairhand/export/gather"
	"fairhand/export/graph"
	"fairhand/register/audit"
)

// printed are the types of what is printed for programs, each with the name of its
// schema, which every object says of itself.
var printed = map[reflect.Type]string{
	reflect.TypeFor[audit.Report]():   audit.Schema,
	reflect.TypeFor[boxJSON]():        "fairhand-box-1",
	reflect.TypeFor[findingJSON]():    "fairhand-check-1",
	reflect.TypeFor[codeJSON]():       "fairhand-codes-1",
	reflect.TypeFor[chainJSON]():      "fairhand-compare-1",
	reflect.TypeFor[optionJSON]():     "fairhand-config-1",
	reflect.TypeFor[copiedJSON]():     "fairhand-copy-1",
	reflect.TypeFor[export.DayJSON](): export.SchemaJSON,
	reflect.TypeFor[audit.List]():     audit.ListedSchema,
	reflect.TypeFor[gather.Result]():  gather.Schema,
	reflect.TypeFor[graph.Told]():     "fairhand-graph-1",
	reflect.TypeFor[sheetJSON]():      "fairhand-handover-1",
	reflect.TypeFor[importedJSON]():   "fairhand-import-1",
	reflect.TypeFor[loggedJSON]():     "fairhand-log-1",
	reflect.TypeFor[printedJSON]():    "fairhand-print-1",
	reflect.TypeFor[questionJSON]():   "fairhand-question-1",
	reflect.TypeFor[ruleJSON]():       "fairhand-rules-1",
	reflect.TypeFor[salvagedJSON]():   "fairhand-salvage-1",
	reflect.TypeFor[sealJSON]():       "fairhand-seal-1",
	reflect.TypeFor[verifiedJSON]():   "fairhand-verify-1",
	reflect.TypeFor[versions]():       "fairhand-version-1",
	reflect.TypeFor[volumeJSON]():     "fairhand-volume-1",
}

// numbers are entry numbers that are an empty list in JSON when there are none.
type numbers []int64

// MarshalJSON writes a list, never null.
func (n numbers) MarshalJSON() ([]byte, error) {
	if n == nil {
		return []byte("[]"), nil
	}
	return json.Marshal([]int64(n))
}

// json prints one object on a line, before all else the name of its schema.
func (p *program) json(v any) error {
	of := reflect.TypeOf(v)
	if of.Kind() == reflect.Pointer {
		of = of.Elem()
	}
	name, ok := printed[of]
	if !ok {
		return fmt.Errorf("there is no schema for %v", of)
	}
	p.screen.JSON = true
	var text bytes.Buffer
	enc := json.NewEncoder(&text)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(v); err != nil {
		return err
	}
	said := fmt.Sprintf(`{"schema":%q,`, name)
	if line := text.Bytes(); !bytes.HasPrefix(line, []byte(said)) { // it does not say it itself
		p.out.WriteString(said)
		text.Next(1)
	}
	_, err := p.out.Write(text.Bytes())
	return err
}

// tell prints what a command did: the value to a program, else the words.
func (p *program) tell(v any, words string, args ...any) error {
	if p.js {
		return p.json(v)
	}
	_, err := fmt.Fprintf(p.out, words, args...)
	return err
}

// withJSON gives a command the flag --json; of says what has an object, " an entry", when
// there are several.
func (p *program) withJSON(of string, cmd *cobra.Command) *cobra.Command {
	cmd.Flags().BoolVar(&p.js, "json", false, "one JSON object"+of)
	return cmd
}
