// Package export writes a register day for somebody else to read.
//
// What it promises:
//
//  1. One day, many shapes. Every format is made from the same register.Day;
//     nothing here works out a time, a row or a finding.
//  2. Every export carries the number and hash of the last entry and the caution
//     that a register proves nothing on the ground.
//  3. Nothing in it depends on when it was made: the same day of the same
//     register gives the same bytes.
//  4. A file appears under its name only when it is complete and on disk, and
//     never in place of another unless that was asked for (file.go).
//  5. Nothing in a remark can hurt: no formula, no markup, no crash. What a
//     format cannot show stands visibly as its number, [U+1F682].
//
// A new format is one row of the table in export.go and one function. The train
// graph is package export/graph.
//
// # For people
//
// text and html have the page, the findings, the handover sheets and the entries,
// html the figures also; pdf has the page on A4 lying on its side, down before up,
// then findings, handover sheets, entries, figures and train graph; xlsx has a sheet
// each for trains, entries, findings, handovers and figures, below five lines of
// heading, with codes, names and times as text. Figures are those of package audit
// for the day.
//
// A handover sheet (register.DaySheet) has what the book told just before a change
// of duty; [x] was taken over by the relief, [?] queried, [ ] neither.
//
// # For programs: what stays
//
// A schema has a name with a number. Within it fields and columns may be added,
// CSV columns at the end only; none changes its meaning or goes. A change of that
// kind gets the next number.
//
// # CSV, schema fairhand-day-csv-1
//
// CSVHelp tells it to users, its columns from the table of columns.go.
//
// # JSON, schema fairhand-day-1
//
// One object; its fields are those of jsonDay in json.go, and fairhand help schema
// tells them with their meaning. Times are RFC 3339 with the offset of the box's zone
// and are not rounded; what was not recorded is left out.
//
// # Parquet, schema fairhand-entries-1
//
// A row an entry, a file for each box and year, in a folder for many boxes:
//
//	railway=Thrackley%20Vale%20Railway/box=Ennerholme/year=2026/entries.parquet
//
// so that DuckDB reads all of them as one table,
//
//	select box, count(*) from read_parquet('folder/**/*.parquet', hive_partitioning=true) group by box
//
// and Spark and ClickHouse in their own words. Snappy compression. The metadata
// has fairhand.schema, fairhand.railway, fairhand.box, fairhand.zone,
// fairhand.head (number and hash of the last entry of the register) and
// fairhand.caution.
//
//	day             DATE, register day: the local date of the box
//	entry           INT64
//	happened_at, recorded_at   TIMESTAMP in microseconds, UTC
//	writer, kind, section, line, train, place, proof, subject, text   STRING, as in CSV, unguarded; null for none
//	description     STRING, the bell code as digits and hyphens: 3-1
//	bells           LIST of sent BOOLEAN and code STRING
//	number, corrected_by       INT64, null for none
//	stands_instead  STRING
//	explained_by    LIST of INT64
//	findings        LIST of rule STRING and severity STRING, root (entry it follows from) and
//	                answered (entry since which it stands no more) INT64, null for none
//	findings_answered   the same, of what stands no more
//	as_written, previous_hash, hash   STRING
//
// The other format for programs is the book notation itself, which fairhand
// import and fairhand check read.
package export
