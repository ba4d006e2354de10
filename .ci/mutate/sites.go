package main

import (
	"fmt"
	"go/ast"
	"go/token"
	"go/types"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/tools/go/packages"
)

// mutant is one change: some bytes of a file replaced by others. That all can be
// built into one program and chosen when it runs, it is also written as a choice
// around the code from begin to end.
type mutant struct {
	file       string
	pos        token.Position
	from, to   int
	was, is    string
	begin, end int
	typ, other string // of the value, "" of a statement; and what is there instead
}

func (m mutant) place() string { return fmt.Sprintf("%s:%d", m.file, m.pos.Line) }

func (m mutant) String() string {
	return fmt.Sprintf("%s:%d: %s  ->  %s", m.place(), m.pos.Column, brief(m.was), brief(m.is))
}

func (m mutant) apply(src []byte) []byte {
	return slices.Concat(src[:m.from], []byte(m.is), src[m.to:])
}

// choice is what stands before and after the code that is there by default. Its lines
// are kept short: the compiler tells no column of a long one.
func (m mutant) choice(number int) (before, after string) {
	on := fmt.Sprintf("mutant(%d)", number)
	switch m.typ {
	case "":
		return "if !" + on + " {\n", " }"
	case "bool":
		return "(" + on + " && (" + m.other + ") ||\n!" + on + " && (", "))"
	}
	return "func() " + m.typ + " {\nif " + on + " { return " + m.other + " }\nreturn ", " }()"
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
	const mode = packages.NeedName | packages.NeedFiles | packages.NeedImports | packages.NeedTypes | packages.NeedSyntax | packages.NeedTypesInfo
	loaded, err := packages.Load(&packages.Config{Mode: mode}, dir)
	if err != nil {
		return nil, err
	}
	var all []mutant
	for _, p := range loaded {
		for _, e := range p.Errors {
			return nil, e
		}
		for _, tree := range p.Syntax {
			file := p.Fset.Position(tree.Pos()).Filename
			src, err := os.ReadFile(file)
			if err != nil {
				return nil, err
			}
			if here, err := filepath.Abs("."); err == nil {
				file = strings.TrimPrefix(file, here+string(filepath.Separator))
			}
			all = append(all, fileMutants(file, src, p.Fset, tree, p.Types, p.TypesInfo)...)
		}
	}
	if len(all) == 0 {
		return nil, fmt.Errorf("%s: no code to change", dir)
	}
	return all, nil
}

func fileMutants(file string, src []byte, fset *token.FileSet, tree *ast.File, own *types.Package, info *types.Info) []mutant {
	s := &sites{file: file, src: src, fset: fset, info: info, skip: map[ast.Node]bool{}}
	s.name = func(p *types.Package) string {
		for _, i := range tree.Imports {
			if path, _ := strconv.Unquote(i.Path.Value); path == p.Path() && i.Name != nil {
				return i.Name.Name
			}
		}
		if p == own {
			return ""
		}
		return p.Name()
	}
	ast.PreorderStack(tree, nil, s.visit)
	return s.found
}

// sites collects the changes of one file.
type sites struct {
	file  string
	src   []byte
	fset  *token.FileSet
	info  *types.Info
	name  types.Qualifier
	skip  map[ast.Node]bool
	found []mutant
}

// replace notes a change inside of a statement (typ "") or a value of a type.
func (s *sites) replace(whole ast.Node, typ string, from, to token.Pos, is string) {
	pos := s.fset.Position(from)
	end := s.fset.Position(to).Offset
	m := mutant{file: s.file, pos: pos, from: pos.Offset, to: end, was: string(s.src[pos.Offset:end]), is: is, typ: typ,
		begin: s.fset.Position(whole.Pos()).Offset, end: s.fset.Position(whole.End()).Offset}
	m.other = string(slices.Concat(s.src[m.begin:m.from], []byte(is), s.src[m.to:max(m.to, m.end)]))
	s.found = append(s.found, m)
}

// typed is the type of a value as it is written in this file.
func (s *sites) typed(x ast.Expr) string {
	return types.TypeString(types.Default(s.info.TypeOf(x)), s.name)
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
		s.elements(n, stack)
	case *ast.BasicLit:
		if v, err := strconv.ParseInt(n.Value, 0, 64); err == nil && n.Kind == token.INT {
			s.replace(n, s.typed(n), n.Pos(), n.End(), strconv.FormatInt(v+max(1, v/4), 10))
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
	if b, ok := s.info.TypeOf(n).Underlying().(*types.Basic); ok && b.Info()&types.IsString != 0 {
		return
	}
	typ := s.typed(n)
	for _, op := range otherOperators[n.Op] {
		s.replace(n, typ, n.OpPos, n.OpPos+token.Pos(len(n.Op.String())), op)
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
		s.replace(x, "bool", x.Pos(), x.X.Pos(), "")
	default:
		s.replace(x, "bool", x.Pos(), x.End(), "!("+s.text(x)+")")
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
			s.replace(st, "", st.Pos(), st.End(), "")
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
	var results []string
	for i := len(stack) - 1; i >= 0 && results == nil; i-- {
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
				results = append(results, s.text(field.Type))
			}
		}
	}
	if len(results) != len(n.Results) {
		return
	}
	last := len(results) - 1
	for i, x := range n.Results {
		if i < last && makesError(n.Results[last]) { // nobody reads what stands beside an error
			s.skip[x] = true
			continue
		}
		switch _, comparison := x.(*ast.BinaryExpr); {
		case results[i] == "bool" && comparison, slices.Contains([]string{"nil", "false", "true", "0", `""`, results[i] + "{}"}, s.text(x)):
		default:
			s.replace(x, results[i], x.Pos(), x.End(), "*new("+results[i]+")")
		}
	}
}

// elements drops rows of a table and fields of a struct, but no words.
func (s *sites) elements(n *ast.CompositeLit, stack []ast.Node) {
	var whole ast.Node = n
	typ := "unknown"
	if n.Type != nil {
		typ = s.text(n.Type)
	}
	if up, ok := stack[len(stack)-1].(*ast.UnaryExpr); ok {
		whole, typ = up, "*"+typ
	}
	for i, e := range n.Elts {
		kv, keyed := e.(*ast.KeyValueExpr)
		_, row := e.(*ast.CompositeLit)
		if !row && (!keyed || isString(kv.Value)) {
			continue
		}
		switch {
		case i+1 < len(n.Elts):
			s.replace(whole, typ, e.Pos(), n.Elts[i+1].Pos(), "")
		case i > 0:
			s.replace(whole, typ, n.Elts[i-1].End(), e.End(), "")
			s.found[len(s.found)-1].pos = s.fset.Position(e.Pos())
		default:
			s.replace(whole, typ, n.Lbrace+1, n.Rbrace, "")
		}
		if field := s.field(n, kv); field != "" { // a field that is dropped is zero
			m := &s.found[len(s.found)-1]
			m.begin, m.end = s.fset.Position(kv.Value.Pos()).Offset, s.fset.Position(kv.Value.End()).Offset
			m.typ, m.other = field, "*new("+field+")"
		}
	}
}

// field is the type of a field of a struct that is given by its name.
func (s *sites) field(n *ast.CompositeLit, kv *ast.KeyValueExpr) string {
	t := s.info.TypeOf(n)
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	st, ok := t.Underlying().(*types.Struct)
	if !ok || kv == nil {
		return ""
	}
	for f := range st.Fields() {
		if key, ok := kv.Key.(*ast.Ident); ok && key.Name == f.Name() {
			return types.TypeString(f.Type(), s.name)
		}
	}
	return ""
}

func (s *sites) word(n *ast.Ident) {
	switch n.Name {
	case "true":
		s.replace(n, "bool", n.Pos(), n.End(), "false")
	case "false":
		s.replace(n, "bool", n.Pos(), n.End(), "true")
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

// makesError says whether an expression is an error in any case.
func makesError(x ast.Expr) bool {
	call, ok := x.(*ast.CallExpr)
	if !ok {
		return false
	}
	f, ok := call.Fun.(*ast.SelectorExpr)
	return ok && (f.Sel.Name == "Errorf" || f.Sel.Name == "New")
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
