package block

import "fairhand/block/rulebook"

// prepareCodes tells the bell and the ways of each line and the machine of each section, and builds
// each section's code book: the rule set's rows for its method, and the box's own
// additions, which win on the same beats; words come first where they are what the
// section is worked by. Looked up, every word and bell is known everywhere.
func (b *Box) prepareCodes() {
	b.pairs, b.ways = b.pairsOf(), b.waysOf()
	b.codes = make([][]*rulebook.CodeRow, len(b.Sections))
	b.byCode = make([]codeTable, len(b.Sections))
	for i := range b.Sections {
		m := b.Sections[i].Method
		b.all[m], b.all[rulebook.SingleLineWorking] = machines[m](), machines[rulebook.SingleLineWorking]() // to which Worked may go over
		for _, rows := range [...][]rulebook.CodeRow{rulebook.Spoken(), b.Codes, b.Rules.Codes} {
			for j := range rows {
				if rows[j].On(m) {
					if b.says(i, &rows[j]) {
						b.codes[i] = append(b.codes[i], &rows[j])
					}
					slot := slotOf(rows[j].Code)
					b.byCode[i][slot] = append(b.byCode[i][slot], &rows[j])
				}
			}
		}
	}
}

// CodeBook lists the codes in force in section i, additions of the box first.
func (b *Box) CodeBook(i int) []rulebook.CodeRow {
	rows := make([]rulebook.CodeRow, len(b.codes[i]))
	for j, row := range b.codes[i] {
		rows[j] = *row
	}
	return rows
}

// codeTable has the rows of a section's codes by slot: several are looked up for every bell,
// and a map would cost three times as much.
type codeTable [64][]*rulebook.CodeRow

func slotOf(code rulebook.Code) (slot byte) {
	for i := range len(code) {
		slot = slot*5 + code[i]
	}
	return slot % byte(len(codeTable{}))
}

// lookup finds the row for a code in section i that fits a wanted meaning, or
// with MeansNothing the first row; nil when the code is not in the book.
func (b *Box) lookup(i int, code rulebook.Code, want rulebook.Meaning) *rulebook.CodeRow {
	for _, row := range b.byCode[i][slotOf(code)] {
		if (want == rulebook.MeansNothing || row.Means == want) && row.Code == code {
			return row
		}
	}
	return nil
}
