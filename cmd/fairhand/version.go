package main

import (
	"runtime"

	"github.com/spf13/cobra"

	"fairhand/cmd/fairhand/version"
)

// versions are those of the program and of what its files depend on.
type versions struct {
	Fairhand string `json:"fairhand"`
	SQLite   string `json:"sqlite"`
	Go       string `json:"go"`
	Platform string `json:"platform"`
}

// versionCommand is for what version.init leaves to it.
func (p *program) versionCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "version",
		Short: "Print the versions of the program and of SQLite",
		Args:  args(0, 0, ""),
		RunE: func(*cobra.Command, []string) error {
			return p.tell(versions{version.Program(), version.SQLite, runtime.Version(), version.Platform}, "%s", version.Text())
		},
	})
}
