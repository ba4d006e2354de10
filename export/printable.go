package export

import (
	"fmt"
	"strings"
	"sync"

	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/text/unicode/norm"
)

// The PDF writer panics on characters beyond U+FFFF and prints an empty box for
// one that the font lacks, while a program that reads the text finds it there
// (github.com/go-pdf/fpdf/issues/40, github.com/jung-kurt/gofpdf/issues/326). So
// every text goes through printable before it is drawn.

// fonts are the two embedded fonts, to ask what they have signs for.
var fonts = sync.OnceValue(func() []*sfnt.Font {
	var out []*sfnt.Font
	for i, data := range [][]byte{goregular.TTF, gobold.TTF} {
		font, err := sfnt.Parse(data)
		if err != nil {
			panic(fmt.Sprintf("export: embedded font %d: %v", i, err)) // a fault of the build, which any test meets
		}
		out = append(out, font)
	}
	return out
})

// hasGlyph says whether both fonts have a sign for a character that the PDF
// writer can take.
func hasGlyph(r rune) bool {
	if r < 0x20 || r >= 1<<16 {
		return false
	}
	for _, f := range fonts() {
		if n, err := f.GlyphIndex(nil, r); err != nil || n == 0 {
			return false
		}
	}
	return true
}

// printable makes a text that the embedded fonts can show. A character they
// have no sign for stands as its number, [U+1F682]; replaced counts them. Line
// ends and tabs become spaces.
func printable(s string) (text string, replaced int) {
	plain := true
	for i := 0; i < len(s) && plain; i++ {
		plain = s[i] >= 0x20 && s[i] < 0x7F
	}
	if plain {
		return s, 0
	}
	var out strings.Builder
	for _, r := range norm.NFC.String(s) { // an accent that stands alone may join its letter
		switch {
		case r == '\n' || r == '\t' || r == '\r':
			out.WriteByte(' ')
		case hasGlyph(r):
			out.WriteRune(r)
		default:
			fmt.Fprintf(&out, "[U+%04X]", r)
			replaced++
		}
	}
	return out.String(), replaced
}
