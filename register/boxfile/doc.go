// Package boxfile reads and writes box.yaml, the description of one signal box.
//
// What it promises:
//
//  1. Strict. An unknown key, a key given twice, a word that is not in its list
//     and a name that refers to nothing are faults, never ignored. Every fault
//     names its line and, where there is one, the nearest word that is known.
//  2. All faults of a file are reported together.
//  3. Text is text. Scalars are taken as they are written, so that names such
//     as 1E45, 2E10, 0012 and yes are never turned into numbers or truth values.
//  4. One table (keys.go) is the only list of keys: it drives the decoder, the
//     reference text and the comments of a file that is written.
//  5. What Decode returns without an error has passed block.Box.Prepare.
//
// The YAML library's own strict decoding stops short of 1 and 2 (it knows no
// nearest key, and it is lost inside custom decoding), so the tree of nodes is
// walked here instead. Anchors, aliases and tags are refused: a box file says
// each thing where it is read.
package boxfile
