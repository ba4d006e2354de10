package main

import (
	"encoding/json"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"reflect"
	"strings"

	"fairhand/register/audit"
)

// deriver makes a JSON Schema from the Go types that are printed; the comments on the
// types and on their fields become the descriptions.
type deriver struct {
	comments map[string]string // Type and Type.Field, of the packages read
	defs     map[string]any
}

// object is a JSON object whose keys keep an order that a person can follow only as
// far as encoding/json goes: by name.
type object = map[string]any

// derive makes the schema of a form: of its type and of the key schema, which every object
// has that is printed by itself.
func (d *deriver) derive(name, of string, t reflect.Type) object {
	d.defs = map[string]any{}
	d.named(t)
	out := d.defs[t.Name()].(object)
	delete(d.defs, t.Name())
	props := out["properties"].(object)
	if props["schema"] == nil {
		props["schema"] = object{"type": "string", "description": "name of this schema"}
		out["required"] = append([]any{"schema"}, out["required"].([]any)...)
	}
	props["schema"].(object)["const"] = name
	out["$schema"] = "https://json-schema.org/draft/2020-12/schema"
	out["$id"] = "urn:fairhand:" + name
	out["title"] = name + ", printed by fairhand " + strings.ReplaceAll(of, ", ", ", fairhand ")
	out["$defs"] = d.defs
	return out
}

// words are the values of text that can be nothing else.
var words = map[string][]any{"severity": {"danger", "irregular", "advice"}}

// of is the schema of a type; key is that of the field that has it.
func (d *deriver) of(t reflect.Type, key string) object {
	switch t {
	case reflect.TypeFor[audit.Moment]():
		return object{"type": []any{"string", "null"}, "format": "date-time"}
	case reflect.TypeFor[numbers]():
		t = reflect.TypeFor[[]int64]()
	}
	if t.Kind() == reflect.Pointer {
		return d.of(t.Elem(), key)
	}
	if reflect.PointerTo(t).Implements(reflect.TypeFor[json.Marshaler]()) {
		panic(fmt.Sprintf("%v writes itself: say here what it writes", t))
	}
	switch t.Kind() {
	case reflect.String:
		if w := words[key]; w != nil {
			return object{"type": "string", "enum": w}
		}
		return object{"type": "string"}
	case reflect.Bool:
		return object{"type": "boolean"}
	case reflect.Int, reflect.Int64:
		return object{"type": "integer"}
	case reflect.Float64:
		return object{"type": "number"}
	case reflect.Slice:
		return object{"type": "array", "items": d.of(t.Elem(), key)}
	case reflect.Array:
		return object{"type": "array", "items": d.of(t.Elem(), key), "minItems": t.Len(), "maxItems": t.Len()}
	case reflect.Map:
		return object{"type": "object", "additionalProperties": d.of(t.Elem(), key)}
	case reflect.Interface:
		return object{"type": []any{"string", "boolean"}}
	case reflect.Struct:
		return d.named(t)
	}
	panic(fmt.Sprintf("there is no schema for %v", t))
}

// named puts a struct among the definitions and refers to it.
func (d *deriver) named(t reflect.Type) object {
	if d.defs[t.Name()] == nil {
		props, required := object{}, []any{}
		def := object{"type": "object", "properties": props}
		d.defs[t.Name()] = def // before its fields, which may be of it
		for _, f := range reflect.VisibleFields(t) {
			key, more, _ := strings.Cut(f.Tag.Get("json"), ",")
			if f.Anonymous || key == "-" || !f.IsExported() {
				continue
			}
			if key == "" {
				panic(fmt.Sprintf("%v.%s has no key", t, f.Name))
			}
			p := d.of(f.Type, key)
			owner := t // or the struct within it that has the field
			for _, i := range f.Index[:len(f.Index)-1] {
				owner = owner.Field(i).Type
			}
			if said := d.comments[owner.Name()+"."+f.Name]; said != "" {
				p["description"] = said
			}
			props[key] = p
			if more == "" {
				required = append(required, key)
			}
		}
		def["required"] = required
		if said := d.comments[t.Name()]; said != "" {
			def["description"] = said
		}
	}
	return object{"$ref": "#/$defs/" + t.Name()}
}

// readComments reads those of the structs in some directories.
func readComments(dirs ...string) (map[string]string, error) {
	out := map[string]string{}
	for _, dir := range dirs {
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil {
			return nil, err
		}
		for _, path := range files {
			file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.ParseComments)
			if err != nil {
				return nil, err
			}
			for _, decl := range file.Decls {
				if gen, ok := decl.(*ast.GenDecl); ok {
					commentsOf(gen, out)
				}
			}
		}
	}
	return out, nil
}

func commentsOf(gen *ast.GenDecl, out map[string]string) {
	for _, spec := range gen.Specs {
		t, ok := spec.(*ast.TypeSpec)
		if !ok {
			continue
		}
		s, ok := t.Type.(*ast.StructType)
		if !ok {
			continue
		}
		out[t.Name.Name] = oneLine(gen.Doc.Text())
		for _, f := range s.Fields.List {
			for _, n := range f.Names {
				out[t.Name.Name+"."+n.Name] = oneLine(f.Doc.Text() + f.Comment.Text())
			}
		}
	}
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
