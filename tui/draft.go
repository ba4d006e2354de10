package tui

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"fairhand/register/bounded"
	"fairhand/register/notation"
)

// takeDraft gives the half-typed line that was kept, and removes it; nothing where
// there is none, or something that the desk did not leave there, such as a link.
func takeDraft(path string) string {
	if info, err := os.Lstat(path); err != nil || info.Mode()&os.ModeSymlink != 0 {
		return ""
	}
	f, err := bounded.Open(path)
	if err != nil {
		return ""
	}
	text, err := io.ReadAll(io.LimitReader(f, notation.MaxLine))
	if err = errors.Join(err, f.Close()); err != nil {
		return ""
	}
	os.Remove(path)
	line, _, _ := strings.Cut(strings.TrimSpace(string(text)), "\n")
	return line
}

// keepDraft keeps a half-typed line. What is there under the name is removed first,
// never written through; where the line cannot be kept the error holds it.
func keepDraft(path, line string) error {
	os.Remove(path)
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err == nil {
		_, err = f.WriteString(line + "\n")
		if err = errors.Join(err, f.Close()); err != nil {
			os.Remove(path)
		}
	}
	if err != nil {
		return fmt.Errorf("this line was half typed and could not be kept: %q: %w", line, err)
	}
	return nil
}
