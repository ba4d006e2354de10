// Command types checks that the program and its tests are right Go for other systems
// than the one it runs on: every file that is built there, with all that it imports, from
// source.
//
//	go run ./.ci/types windows/amd64 linux/arm64
//
// A cross-build says no more of our own code, and compiles a whole engine of SQL and the
// standard library for each system: four minutes of processor each where nothing is kept.
package main

import (
	"fmt"
	"os"
	"strings"

	"golang.org/x/tools/go/packages"
)

func main() {
	code := 0
	for _, target := range os.Args[1:] {
		faults, err := check(target)
		if err != nil {
			faults = append(faults, err.Error())
		}
		for _, f := range faults {
			fmt.Fprintln(os.Stderr, target+":", f)
			code = 1
		}
		if len(faults) == 0 {
			fmt.Println(target)
		}
	}
	os.Exit(code)
}

// check reads the program with its tests as it is built on target, a system and a machine
// without cgo, and gives what is wrong in any package.
func check(target string) (faults []string, err error) {
	system, machine, ok := strings.Cut(target, "/")
	if !ok {
		return nil, fmt.Errorf("not a system and a machine, like windows/amd64")
	}
	read, err := packages.Load(&packages.Config{
		Mode:  packages.LoadAllSyntax,
		Tests: true,
		Env:   append(os.Environ(), "GOOS="+system, "GOARCH="+machine, "CGO_ENABLED=0"),
	}, "./...")
	if err != nil {
		return nil, fmt.Errorf("read the program: %w", err)
	}
	if len(read) == 0 {
		return nil, fmt.Errorf("nothing is built there")
	}
	packages.Visit(read, nil, func(p *packages.Package) {
		for _, e := range p.Errors {
			faults = append(faults, e.Error())
		}
	})
	return faults, nil
}
