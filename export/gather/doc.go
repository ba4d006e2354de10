// Package gather keeps the registers of a line of boxes as one collection for an engine
// of SQL that is there already: a folder of Parquet files, by box and year, and beside
// them, in manifests, the head, the seal and the description each was made from. There
// is no server here and no engine.
//
// A box whose head is that of before costs a look at its head. Otherwise its whole
// register is proved, entry by entry, and taken through an audit that hands over what
// it counts (audit.Each): a row says what fairhand audit says, because it is the same.
// Of a register that has grown that is done of the years that may come out otherwise
// (grow.go); the files are those that the whole of it would give, to the byte.
// Files are written under another name, and only those that came out otherwise than
// they were take the place of the old; the manifest is written last. A register that
// does not go on from the head that was gathered is refused.
//
// The tables and their columns are the types in rows.go, line.go and pairs.go. Times are
// UTC to the second; day and year are of the register day, by the clock of the box.
// Railway, box and year stand in the rows and in the path. A part may be in several
// files (entries.parquet, entries.2.parquet), so its name is entries*.parquet.
package gather
