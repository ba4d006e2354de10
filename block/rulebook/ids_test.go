package rulebook

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strings"
	"testing"
)

// TestIDsAreConstants: every rule of the catalogue has a constant named as its value
// reads, and outside its declaration the program names the rule by that alone, so
// that a misspelt one does not compile and every use is found.
func TestIDsAreConstants(t *testing.T) {
	const root = "../.."
	files, constants := 0, map[RuleID]string{}
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
			return err
		}
		files++
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.ValueSpec:
				if id, ok := n.Type.(*ast.Ident); ok && id.Name == "RuleID" && len(n.Values) == 1 {
					constants[RuleID(strings.Trim(n.Values[0].(*ast.BasicLit).Value, `"`))] = n.Names[0].Name
					return false
				}
			case *ast.BasicLit:
				if r, known := RuleNamed(RuleID(strings.Trim(n.Value, "\"`"))); known && n.Kind == token.STRING {
					t.Errorf("%s: %s written out; use its constant", set.Position(n.Pos()), r.ID)
				}
			}
			return true
		})
		return nil
	})
	if err != nil || files < 100 {
		t.Errorf("%d files looked through: %v", files, err)
	}
	for _, r := range Rules() {
		if name := constants[r.ID]; !strings.EqualFold(name, strings.ReplaceAll(string(r.ID), "-", "")) {
			t.Errorf("%s has the constant %q", r.ID, name)
		}
		delete(constants, r.ID)
	}
	for id := range constants {
		t.Errorf("%s is a constant and not in the catalogue", id)
	}
}
