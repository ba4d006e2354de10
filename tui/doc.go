// Package tui is the desk: what a signaller looks at and types on all through a
// turn of duty, in a terminal.
//
// Rules of the package:
//
//  1. One goroutine does everything: keys, ticks, writing and drawing. There are
//     three others, and a timer. The ticker puts a tick into the same queue as the
//     keys and, when the desk is to end, stops the application as its last act.
//     The timer puts there that the hand has rested (hand.go). The
//     assistant (assistant.go) reads what takes long, a day years ago, a
//     search of all years, an audit; it touches neither model nor screen, its answers wait until
//     the desk takes them, and what it posts never waits for a queue. The proof
//     (watch.go) reads the whole register once and touches nothing here.
//  2. model is plain values. update takes a model and a message and gives the
//     next model and a command; nothing else changes a mode. It reads no clock
//     and no file: the time of a key press comes with the message.
//  3. A command is run by the clerk, the only code here that touches the book.
//     Its answer is the next message. An entry is written in the key handler
//     itself, or when the hand has rested after it: the signaller never sees an
//     entry that is not on disk, and a key does what the eye saw (listed.go).
//  4. One table of keys (keys.go) answers the key press, writes the footer and
//     the help.
//  5. Every text of the book passes safe before it is drawn. Nothing drawn is
//     read for markup.
//  6. app.go alone knows tview's Application.
//
// The life of a key press: app.go names the key and notes the time; keys.go
// finds what it does in the present mode; update.go decides; clerk.go previews
// and writes; update.go takes the answer; layout.go lays the screen out anew.
package tui
