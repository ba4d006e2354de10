package store

// The file tells what it is: applicationID in the database header marks any
// SQLite file as a Fairhand register ("FHND"), fileVersion (user_version in
// the header) is the version of tables and encoding together. Version 2 came with
// the descriptions of the box; a file of version 1 becomes one of version 2 with the
// first that is kept in it.
const (
	applicationID = 0x46484e44
	fileVersion   = 2
)

// refersWhere picks the lines that correct or explain an earlier entry. A query
// uses the index only with the same words.
const refersWhere = `line GLOB '* correct [0-9]*' OR line GLOB '* explain [0-9]*'`

// schema is every object of the file, in the order of making. The text is
// compared with the file's own at opening, so a trigger that somebody dropped
// is noticed; it is also what a reader with nothing but an SQLite tool sees,
// hence the comments inside. One statement a row, no semicolon at the end.
//
// The previous hash is not stored twice: it is the hash of the entry before,
// and for entry 1 the "genesis" value of the heading.
//
// What was not in version 1 comes last: schemaOf gives what is in a version.
var schema = []object{
	{"meta", `CREATE TABLE meta(
  key TEXT PRIMARY KEY, -- railway, box, zone, created (Unix seconds UTC), genesis (SHA-256, hex)
  value TEXT NOT NULL
) STRICT, WITHOUT ROWID`},

	{"entry", `CREATE TABLE entry(
  seq INTEGER PRIMARY KEY CHECK (seq > 0), -- 1, 2, 3 ... without a gap
  at INTEGER NOT NULL,       -- when it happened, Unix seconds UTC
  recorded INTEGER NOT NULL, -- when it was written, Unix seconds UTC
  day INTEGER NOT NULL CHECK (day BETWEEN 18000101 AND 99991231), -- yyyymmdd, local date of the box
  writer TEXT NOT NULL,      -- who wrote it
  line TEXT NOT NULL CHECK (line <> ''), -- the entry, one line of the book notation
  hash BLOB NOT NULL CHECK (length(hash) = 32)
  -- hash = SHA-256 of: 'fairhand entry 1' LF, hash of the entry before in lower-case hex LF,
  -- seq SPACE at SPACE recorded SPACE day LF, writer LF, line LF
) STRICT`},

	{"entry_day", `CREATE INDEX entry_day ON entry(day)`},

	// The few entries that speak of an earlier one, so that they are found in a
	// book of any length. Made from the line by the engine, never a second truth.
	{"entry_refers", `CREATE INDEX entry_refers ON entry(seq) WHERE ` + refersWhere},

	{"snapshot", `CREATE TABLE snapshot( -- derived, may be deleted at any time
  seq INTEGER PRIMARY KEY, hash BLOB NOT NULL, program TEXT NOT NULL, state BLOB NOT NULL, sum BLOB NOT NULL
) STRICT`},

	{"entry_no_update", `CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the register cannot be changed: write a correction'); END`},

	{"entry_no_delete", `CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry of the register cannot be removed'); END`},

	// Stops INSERT OR REPLACE also in programs without recursive triggers.
	{"entry_in_order", `CREATE TRIGGER entry_in_order BEFORE INSERT ON entry
WHEN NEW.seq IS NOT (SELECT coalesce(max(seq), 0) + 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'entries of the register are numbered one after the other'); END`},

	{"meta_no_update", `CREATE TRIGGER meta_no_update BEFORE UPDATE ON meta
BEGIN SELECT RAISE(ABORT, 'the heading of the register cannot be changed'); END`},

	{"meta_no_delete", `CREATE TRIGGER meta_no_delete BEFORE DELETE ON meta
BEGIN SELECT RAISE(ABORT, 'the heading of the register cannot be removed'); END`},

	{"meta_no_insert", `CREATE TRIGGER meta_no_insert BEFORE INSERT ON meta
WHEN (SELECT count(*) FROM meta) >= 5
BEGIN SELECT RAISE(ABORT, 'the heading of the register is complete'); END`},

	{"description", `CREATE TABLE description( -- of the box, as its file was written
  entry INTEGER PRIMARY KEY CHECK (entry >= 0), -- from which on it was in force; 0: from the beginning
  text TEXT NOT NULL
  -- SHA-256 of the text stands in the line of that entry, of entry 0 in what genesis is made of
) STRICT`},

	{"description_no_update", `CREATE TRIGGER description_no_update BEFORE UPDATE ON description
BEGIN SELECT RAISE(ABORT, 'a description of the box that was in force cannot be changed'); END`},

	{"description_no_delete", `CREATE TRIGGER description_no_delete BEFORE DELETE ON description
BEGIN SELECT RAISE(ABORT, 'a description of the box that was in force cannot be removed'); END`},
}

// object is a table, an index or a trigger.
type object struct{ name, sql string }

// sinceTwo is how many objects version 2 added.
const sinceTwo = 3

// schemaOf is every object of a file of a version.
func schemaOf(version int64) []object {
	if version < 2 {
		return schema[:len(schema)-sinceTwo]
	}
	return schema
}
