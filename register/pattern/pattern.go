// Package pattern holds regular expressions back until they are asked for: the
// program is started for one command, and need not make ready for all of them.
package pattern

import (
	"regexp"
	"sync"
)

// Late gives the regular expression, compiled when it is first asked for. One that
// is none panics then.
func Late(expr string) func() *regexp.Regexp {
	return sync.OnceValue(func() *regexp.Regexp { return regexp.MustCompile(expr) })
}
