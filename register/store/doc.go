// Package store keeps one signal box's entries in one SQLite file, register.db.
//
// It knows nothing of block working or of the book notation: an entry's text
// is one opaque line. What it promises:
//
//  1. An entry returned without an error is on disk: the file, its journal and
//     the folder were synced before Append returned (rollback journal,
//     synchronous=EXTRA).
//  2. An entry is never changed and never removed. Triggers in the file refuse
//     it, also to other SQLite programs; a correction is a new entry that
//     points back, which is the business of the package above.
//  3. Every entry carries the SHA-256 of its own fields and of the entry
//     before it, so a later change, even of one bit, is found by Verify and
//     named by its number. Triggers stop accidents; only this chain proves.
//  4. Two programs on one file cannot interleave unnoticed: an append succeeds
//     only while the last entry is still the one the Store has seen, otherwise
//     it returns ErrConflict and nothing is written.
//  5. A failed Append says whether the entry was recorded. "NOT recorded"
//     means the file was looked at again and the entry is not in it.
//  6. Readers, Backup among them, read in short pieces and let go, so that an
//     append never waits long for a reader. One exception holds the file while
//     it lasts: the last part of Verify (about 0.2 s for a million entries).
//
// What it cannot promise: the chain does not protect its own end. Somebody who
// removes the last entries leaves a shorter, sound register. The caller has to
// keep the last number and hash somewhere else (a printed footer, a signature
// in the handover) and compare with Row.Hash of that number.
//
// Times are Unix seconds in UTC. A register day is the box's local date as the
// number yyyymmdd; the caller works it out, the store only keeps and indexes it.
//
// Never open, copy or hash the register file by ordinary file calls while the
// program runs; use Backup. Such calls can take SQLite's locks away where the
// system has no open-file-description locks (everywhere but Linux).
package store
