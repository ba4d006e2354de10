package main

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
)

// mutant is one change: some bytes of a file replaced by others.
type mutant struct {
	file     string
	pos      token.Position
	from, to int
	was, is  string
}

func (m mutant) place() string { return fmt.Sprintf("%s:%d", m.file, m.pos.Line) }

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d: %s  ->  %s", m.place(), m.pos.Column, brief(m.was), brief(m.is))
}

func (m mutant) apply(src []byte) []byte {
	return slices.Concat(src[:m.from], []byte(m.is), src[m.to:])
}

// brief is a piece of code in one short line.
func brief(s string) string {
	s = strings.Join(strings.Fields(s), " ")
	if r := []rune(s); len(r) > 90 {
		s = string(r[:60]) + " ... " + string(r[len(r)-25:])
	}
	if s == "" {
		return "(dropped)"
	}
	return s
}

// mutants finds every change to the code of a package, in the order of the files.
func mutants(dir string) ([]mutant, error) {
	files, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil {
		return nil, err
	}
	var all []mutant
	for _, file := range files {
		if strings.HasSuffix(file, "_test.go") {
			continue
		}
		src, err := os.ReadFile(file)
		if err != nil {
			return nil, err
		}
		found, err := fileMutants(file, src)
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%s: no code to change", dir)
	}
	return all, nil
}

func fileMutants(file string, src []byte) ([]mutant, error) {
	fset := token.NewFileSet()
	tree, err := parser.ParseFile(fset, file, src, 0)
	if err != nil {
		return nil, err
	}
	s := &sites{file: file, src: src, fset: fset, skip: map[ast.Node]bool{}}
	ast.PreorderStack(tree, nil, s.visit)
	return s.found, nil
}

// sites collects the changes of one file.
type sites struct {
	file  string
	src   []byte
	fset  *token.FileSet
	skip  map[ast.Node]bool
	found []mutant
}

func (s *sites) replace(from, to token.Pos, is string) {
	pos := s.fset.Position(from)
	end := s.fset.Position(to).Offset
	s.found = append(s.found, mutant{s.file, pos, pos.Offset, end, string(s.src[pos.Offset:end]), is})
}

func (s *sites) text(n ast.Node) string {
	return string(s.src[s.fset.Position(n.Pos()).Offset:s.fset.Position(n.End()).Offset])
}

func (s *sites) visit(n ast.Node, stack []ast.Node) bool {
	if s.skip[n] {
		return false
	}
	switch n := n.(type) {
	case *ast.ImportSpec:
		return false
	case *ast.ArrayType:
		s.skip[n.Len] = n.Len != nil
	case *ast.BinaryExpr:
		s.binary(n)
	case *ast.IfStmt:
		s.condition(n.Cond)
		if handsBack(n) { // without a failing disk nothing could tell
			s.skip[n.Cond], s.skip[n.Body] = true, true
		}
	case *ast.ForStmt:
		s.condition(n.Cond)
	case *ast.BlockStmt:
		s.statements(n.List)
	case *ast.CaseClause:
		s.statements(n.Body)
	case *ast.ReturnStmt:
		s.results(n, stack)
	case *ast.CompositeLit:
		s.elements(n)
	case *ast.BasicLit:
		if v, err := strconv.ParseInt(n.Value, 0, 64); err == nil && n.Kind == token.INT {
			s.replace(n.Pos(), n.End(), strconv.FormatInt(v+max(1, v/4), 10))
		}
	case *ast.Ident:
		if _, field := stack[len(stack)-1].(*ast.KeyValueExpr); !field {
			s.word(n)
		}
	}
	return true
}

var otherOperators = map[token.Token][]string{
	token.LSS: {"<=", ">="}, token.LEQ: {"<", ">"}, token.GTR: {">=", "<="}, token.GEQ: {">", "<"},
	token.EQL: {"!="}, token.NEQ: {"=="}, token.LAND: {"||"}, token.LOR: {"&&"},
	token.ADD: {"-"}, token.SUB: {"+"}, token.MUL: {"/"}, token.QUO: {"*"}, token.REM: {"/"},
	token.AND: {"|"}, token.OR: {"&"},
}

func (s *sites) binary(n *ast.BinaryExpr) {
	if n.Op == token.ADD && (isString(n.X) || isString(n.Y)) {
		return
	}
	for _, op := range otherOperators[n.Op] {
		s.replace(n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), op)
	}
	if n.Op == token.LAND || n.Op == token.LOR {
		s.condition(n.X)
		s.condition(n.Y)
	}
}

// condition turns round what is true or false and no comparison.
func (s *sites) condition(x ast.Expr) {
	switch x := x.(type) {
	case nil, *ast.BinaryExpr, *ast.ParenExpr:
	case *ast.UnaryExpr:
		s.replace(x.Pos(), x.X.Pos(), "")
	default:
		s.replace(x.Pos(), x.End(), "!("+s.text(x)+")")
	}
}

// statements drops each that can be missed.
func (s *sites) statements(list []ast.Stmt) {
	for _, st := range list {
		drop := false
		switch st := st.(type) {
		case *ast.ExprStmt, *ast.IncDecStmt, *ast.BranchStmt:
			drop = true
		case *ast.AssignStmt:
			drop = st.Tok != token.DEFINE
		case *ast.DeferStmt: // what lets go of a file leaves no trace
			f, method := st.Call.Fun.(*ast.SelectorExpr)
			drop = !method || f.Sel.Name != "Close" && f.Sel.Name != "Rollback"
		case *ast.IfStmt: // other bodies of one statement are dropped as that
			drop = st.Else == nil && !handsBack(st) && (len(st.Body.List) > 1 || returns(st.Body))
		}
		if drop {
			s.replace(st.Pos(), st.End(), "")
		}
	}
}

func returns(b *ast.BlockStmt) bool {
	if len(b.List) != 1 {
		return false
	}
	_, ok := b.List[0].(*ast.ReturnStmt)
	return ok
}

// results gives back a zero value in place of each result.
func (s *sites) results(n *ast.ReturnStmt, stack []ast.Node) {
	var types []string
	for i := len(stack) - 1; i >= 0 && types == nil; i-- {
		var f *ast.FuncType
		switch x := stack[i].(type) {
		case *ast.FuncDecl:
			f = x.Type
		case *ast.FuncLit:
			f = x.Type
		}
		if f == nil {
			continue
		}
		if f.Results == nil {
			return
		}
		for _, field := range f.Results.List {
			for range max(1, len(field.Names)) {
				types = append(types, s.text(field.Type))
			}
		}
	}
	if len(types) != len(n.Results) {
		return
	}
	for i, x := range n.Results {
		switch _, comparison := x.(*ast.BinaryExpr); {
		case types[i] == "bool" && comparison, slices.Contains([]string{"nil", "false", "true", "0", `""`, types[i] + "{}"}, s.text(x)):
		default:
			s.replace(x.Pos(), x.End(), "*new("+types[i]+")")
		}
	}
}

// elements drops rows of a table and fields of a struct, but no words.
func (s *sites) elements(n *ast.CompositeLit) {
	for i, e := range n.Elts {
		kv, keyed := e.(*ast.KeyValueExpr)
		_, row := e.(*ast.CompositeLit)
		if !row && (!keyed || isString(kv.Value)) {
			continue
		}
		switch {
		case i+1 < len(n.Elts):
			s.replace(e.Pos(), n.Elts[i+1].Pos(), "")
		case i > 0:
			s.replace(n.Elts[i-1].End(), e.End(), "")
			s.found[len(s.found)-1].pos = s.fset.Position(e.Pos())
		default:
			s.replace(n.Lbrace+1, n.Rbrace, "")
		}
	}
}

func (s *sites) word(n *ast.Ident) {
	switch n.Name {
	case "true":
		s.replace(n.Pos(), n.End(), "false")
	case "false":
		s.replace(n.Pos(), n.End(), "true")
	}
}

// isString says whether an expression begins or ends with written words.
func isString(x ast.Expr) bool {
	switch x := x.(type) {
	case *ast.BasicLit:
		return x.Kind == token.STRING
	case *ast.BinaryExpr:
		return isString(x.X) || isString(x.Y)
	}
	return false
}

// handsBack says whether a statement does no more than hand an error to the caller.
func handsBack(n *ast.IfStmt) bool {
	cond, ok := n.Cond.(*ast.BinaryExpr)
	if !ok || cond.Op != token.NEQ || n.Else != nil || len(n.Body.List) != 1 {
		return false
	}
	err, named := cond.X.(*ast.Ident)
	back, returns := n.Body.List[0].(*ast.ReturnStmt)
	if !named || !returns || len(back.Results) == 0 || !strings.HasSuffix(strings.ToLower(err.Name), "err") {
		return false
	}
	told := false
	ast.Inspect(back.Results[len(back.Results)-1], func(n ast.Node) bool {
		if x, ok := n.(*ast.Ident); ok && x.Name == err.Name {
			told = true
		}
		return true
	})
	return told
}
