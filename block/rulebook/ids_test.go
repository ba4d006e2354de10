package rulebook

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
)

// TestEveryIDIsAConstant: the constants of ids.go are the rules of the
// catalogue, each named as its value reads.
func TestEveryIDIsAConstant(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "ids.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	constants := map[RuleID]bool{}
	ast.Inspect(file, func(n ast.Node) bool {
		if v, ok := n.(*ast.ValueSpec); ok {
			value, err := strconv.Unquote(v.Values[0].(*ast.BasicLit).Value)
			if err != nil {
				t.Fatal(err)
			}
			constants[RuleID(value)] = true
			if name := v.Names[0].Name; !strings.EqualFold(name, strings.ReplaceAll(value, "-", "")) {
				t.Errorf("%s is %q", name, value)
			}
		}
		return true
	})
	for _, r := range Rules() {
		if !constants[r.ID] {
			t.Errorf("%s is in the catalogue and has no constant", r.ID)
		}
		delete(constants, r.ID)
	}
	for id := range constants {
		t.Errorf("%s is a constant and not in the catalogue", id)
	}
}

// TestNoIDIsWrittenOut: outside ids.go the program names rules by their
// constants, so that a misspelt one does not compile and every use is found.
func TestNoIDIsWrittenOut(t *testing.T) {
	const root = "../.."
	files := 0
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") || d.Name() == "ids.go" {
			return err
		}
		files++
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if r, known := RuleNamed(RuleID(strings.Trim(lit.Value, "\"`"))); known {
					t.Errorf("%s: %s written out; use its constant", set.Position(lit.Pos()), r.ID)
				}
			}
			return true
		})
		return nil
	})
	if err != nil || files < 100 {
		t.Errorf("%d files looked through: %v", files, err)
	}
}
