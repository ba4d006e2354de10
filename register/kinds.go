package register

import (
	"strings"

	"fairhand/block"
	"fairhand/register/notation"
)

// kindInfo is what exports say of a kind of entry, read off the grammar of the
// notation so that there is one list of kinds.
type kindInfo struct {
	word     string
	numbered bool
}

var kindInfos = func() (out [block.Kinds]kindInfo) {
	for _, g := range notation.Help() {
		for _, f := range g.Forms {
			out[f.Kind] = kindOf(f.Form)
		}
	}
	return out
}()

// kindOf joins the words of a form up to its first part that may be left out:
// "SECTION token TOKEN out [TEXT]" is token-out.
func kindOf(form string) kindInfo {
	var words []string
	var k kindInfo
	for _, w := range strings.Fields(form) {
		switch {
		case strings.HasPrefix(w, "["):
			k.word = strings.Join(words, "-")
			return k
		case w == strings.ToLower(w):
			if len(words) == 0 || words[len(words)-1] != w {
				words = append(words, w)
			}
		case w == "BELLS":
			words = append(words, "bells")
		case w == "TOKEN" || w == "TICKET" || w == "NUMBER" || w == "MINUTES":
			k.numbered = true
		}
	}
	k.word = strings.Join(words, "-")
	return k
}

// KindWord is the stable name of a kind of entry in exports: bells, token-out,
// train-arrived, duty-on ...
func KindWord(k block.Kind) string { return kindInfos[k].word }

// KindNumbered says whether entries of a kind carry a number, also when it is 0.
func KindNumbered(k block.Kind) bool { return kindInfos[k].numbered }
