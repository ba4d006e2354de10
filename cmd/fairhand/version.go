package main

import (
	"runtime"
	"runtime/debug"

	"github.com/spf13/cobra"
	sqlite "modernc.org/sqlite/lib"
)

// versions are those of the program and of what its files depend on.
type versions struct {
	Fairhand string `json:"fairhand"`
	SQLite   string `json:"sqlite"`
	Go       string `json:"go"`
	Platform string `json:"platform"`
}

func readVersions() versions {
	v := versions{Fairhand: "(unknown)", SQLite: sqlite.SQLITE_VERSION, Go: runtime.Version(), Platform: runtime.GOOS + "/" + runtime.GOARCH}
	if info, ok := debug.ReadBuildInfo(); ok {
		v.Fairhand = info.Main.Version
	}
	return v
}

func (p *program) versionCommand() *cobra.Command {
	return p.withJSON("", &cobra.Command{
		Use:   "version",
		Short: "Print the versions of the program and of SQLite",
		Args:  args(0, 0, ""),
		RunE: func(*cobra.Command, []string) error {
			v := readVersions()
			return p.tell(v, "fairhand %s\nSQLite %s\n%s %s\n", v.Fairhand, v.SQLite, v.Go, v.Platform)
		},
	})
}
