// Package legalday works an invented signal box for a day and writes its book as
// a signaller would: trains run through, end and begin here, lines are blocked
// and cleared, the turn changes. Every act is regular by the published rules, and
// the generator knows those rules by itself: of block it knows only what rules are called. Tests
// hold the regulations to it: a legal day raises nothing, and a day with one slip
// or one fault raises what that slip or fault is worth.
//
// All but this comment stands in files of tests: no program can hold it. The railway is
// invented.
package legalday
