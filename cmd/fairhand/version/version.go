// Package version says which program this is, and answers fairhand version at once.
//
// Packages are initialised one after another, of those whose imports are done the first by
// import path, and the libraries for Parquet, PDF, the manual and the terminal take two
// thirds of a start to set up tables that this command has no use for. A package that
// imports nothing but os and runtime comes before all of them: by .ci/ratios the command
// costs 1.6 times a program that prints one line, and 4.5 times behind them. It may import
// nothing else, so the version is taken from where runtime/debug takes it. Whatever else is
// asked for, with flags or as --json, goes the way of every command and says the same.
package version

import (
	"os"
	"runtime"
	_ "unsafe" // for go:linkname
)

// SQLite is the version of the engine that the driver has, held to that by a test.
const SQLite = "3.54.1"

// Platform is the system the program was built for.
const Platform = runtime.GOOS + "/" + runtime.GOARCH

func init() {
	if len(os.Args) != 2 || os.Args[1] != "version" {
		return
	}
	if _, err := os.Stdout.WriteString(Text()); err == nil {
		os.Exit(0)
	} // else the command says why
}

// Text is what fairhand version prints.
func Text() string {
	return "fairhand " + Program() + "\nSQLite " + SQLite + "\n" + runtime.Version() + " " + Platform + "\n"
}

// Program is the version of the program, as debug.ReadBuildInfo has it.
func Program() string {
	const mark = 16 // bytes before and after the text
	info := modinfo()
	if len(info) < 2*mark {
		return "(unknown)"
	}
	_, main := cut(info[mark:len(info)-mark], "\nmod\t")
	_, rest := cut(main, "\t")
	line, _ := cut(rest, "\n")
	version, _ := cut(line, "\t")
	return version
}

//go:linkname modinfo runtime/debug.modinfo
func modinfo() string

// cut is strings.Cut: strings comes too late.
func cut(s, sep string) (before, after string) {
	for i := 0; i+len(sep) <= len(s); i++ {
		if s[i:i+len(sep)] == sep {
			return s[:i], s[i+len(sep):]
		}
	}
	return s, ""
}
