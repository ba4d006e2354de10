// Package rulebook is what the railways' books say, as data: bell codes with
// their meanings, rule sets, limits of time, methods of working, and the
// catalogue of rules with what to do when one is broken. Everything in it names
// its source: a publication that can be looked up, CommonPractice or FromMemory.
//
// It knows nothing of a box, a train or an entry, and decides nothing: package
// block works by it. Sets are never merged; what one box has beside its set is
// in its box file.
//
// Where to look: catalogue_*.go has every rule as a constant and a row of words,
// british_early.go, british_later.go and indian_general.go the codes, limits,
// habits and clauses of each set, limits.go what may be limited, method.go how
// sections are worked.
package rulebook
