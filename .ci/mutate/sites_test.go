package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"slices"
	"testing"
)

const sample = `package p

var errors interface{ New(string) error }

var table = []row{
	{Name: "a", Limit: 60},
	{Name: "b", Limit: 3},
}

func f(n int, on bool) (int, error) {
	defer file.Close()
	if err := g(n); err != nil {
		return 0, err
	}
	if on && n < 10 {
		count++
		return n * 2, nil
	}
	if !on {
		return 0, errors.New("off")
	}
	return 7, nil
}

type row struct {
	Name  string
	Limit int
}

var (
	count int
	file  interface{ Close() }
	g     func(int) error
)
`

// Each change by its place and what it makes.
var wanted = []string{
	`6:2: {Name: "a", Limit: 60},  ->  (dropped)`,
	`7:2: , {Name: "b", Limit: 3}  ->  (dropped)`,
	`6:14: , Limit: 60  ->  (dropped)`,
	`6:21: 60  ->  75`,
	`7:14: , Limit: 3  ->  (dropped)`,
	`7:21: 3  ->  4`,
	`15:2: if on && n < 10 { count++ return n * 2, nil }  ->  (dropped)`,
	`19:2: if !on { return 0, errors.New("off") }  ->  (dropped)`,
	`15:8: &&  ->  ||`,
	`15:5: on  ->  !(on)`,
	`15:13: <  ->  <=`,
	`15:13: <  ->  >=`,
	`15:15: 10  ->  12`,
	`16:3: count++  ->  (dropped)`,
	`17:10: n * 2  ->  *new(int)`,
	`17:12: *  ->  /`,
	`17:14: 2  ->  3`,
	`19:5: !  ->  (dropped)`,

	`20:13: errors.New("off")  ->  *new(error)`,
	`22:9: 7  ->  *new(int)`,
	`22:9: 7  ->  8`,
}

// TestSites lists the changes to a piece of code: none in what only hands back an
// error or lets go of a file, none in words.
func TestSites(t *testing.T) {
	fset, info := token.NewFileSet(), &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Defs: map[*ast.Ident]types.Object{}, Uses: map[*ast.Ident]types.Object{}}
	tree, err := parser.ParseFile(fset, "p.go", sample, 0)
	if err != nil {
		t.Fatal(err)
	}
	own, err := (&types.Config{}).Check("p", fset, []*ast.File{tree}, info)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, m := range fileMutants("p.go", []byte(sample), fset, tree, own, info) {
		got = append(got, m.String()[len("p.go:"):])
		if _, err := parser.ParseFile(token.NewFileSet(), "", m.apply([]byte(sample)), 0); err != nil {
			t.Errorf("%s: %v", m, err)
		}
	}
	slices.Sort(got)
	slices.Sort(wanted)
	for _, g := range got {
		if !slices.Contains(wanted, g) {
			t.Errorf("not wanted: %s", g)
		}
	}
	for _, w := range wanted {
		if !slices.Contains(got, w) {
			t.Errorf("not found: %s", w)
		}
	}
}
