package store

import (
	"fmt"
	"os/exec"
	"strings"
	"testing"
)

// sqliteTool runs the sqlite3 command-line tool, a general tool that knows
// nothing of this program.
func sqliteTool(t *testing.T, path, script string) (string, error) {
	t.Helper()
	tool, err := exec.LookPath("sqlite3")
	if err != nil {
		t.Skip("the sqlite3 tool is not installed")
	}
	cmd := exec.Command(tool, "-batch", "-noheader", path)
	cmd.Stdin = strings.NewReader(script)
	out, err := cmd.CombinedOutput()
	return strings.TrimRight(string(out), "\n"), err
}

func TestReadableWithSqliteTool(t *testing.T) {
	s := filled(t, 3)
	out := must(sqliteTool(t, s.Path(), `
PRAGMA application_id; PRAGMA user_version; PRAGMA journal_mode; PRAGMA integrity_check;
SELECT seq, datetime(at, 'unixepoch'), day, writer, line FROM entry;
SELECT value FROM meta WHERE key IN ('box', 'railway') ORDER BY key;`))(t)
	want := `1179143748
2
delete
ok
1|2026-04-24 03:06:40|20260501|A. Fell|00:00 Coldbeck <3-1 >3-1 train 2P00
2|2026-04-24 03:07:40|20260501|A. Fell|00:01 Coldbeck <3-1 >3-1 train 2P01
3|2026-04-24 03:08:40|20260501|A. Fell|00:02 Coldbeck <3-1 >3-1 train 2P02
Ennerholme
Thrackley Vale Railway`
	if out != want {
		t.Errorf("got\n%s\nwant\n%s", out, want)
	}
}

// The chain can be checked without this program: an SQLite tool and sha256sum.
// The recipe is the comment in the entry table.
func TestChainWithOutsideTools(t *testing.T) {
	if _, err := exec.LookPath("sha256sum"); err != nil {
		t.Skip("sha256sum is not installed")
	}
	s := newStore(t)
	d := draft(0)
	d.Writer, d.Line = "", `note "Łódź"`
	must(s.Append(d))(t)
	must(s.AppendBatch(drafts(1, 5)))(t)
	sum := func(text string) string {
		cmd := exec.Command("sha256sum")
		cmd.Stdin = strings.NewReader(text)
		return strings.Fields(string(must(cmd.Output())(t)))[0]
	}
	heading := must(sqliteTool(t, s.Path(), `SELECT 'fairhand register 1' || char(10) || group_concat(value, char(10)) FROM
(SELECT value FROM meta WHERE key <> 'genesis' ORDER BY instr('railway box zone created', key));`))(t)
	prev := must(sqliteTool(t, s.Path(), `SELECT value FROM meta WHERE key = 'genesis';`))(t)
	if got := sum(heading + "\n"); got != prev {
		t.Errorf("sha256sum of the heading %s, stored %s", got, prev)
	}
	for seq := 1; seq <= 6; seq++ {
		body := must(sqliteTool(t, s.Path(), fmt.Sprintf(`SELECT 'fairhand entry 1' || char(10) || '%s' || char(10) ||
seq || ' ' || at || ' ' || recorded || ' ' || day || char(10) || writer || char(10) || line FROM entry WHERE seq = %d;`, prev, seq)))(t)
		prev = must(sqliteTool(t, s.Path(), fmt.Sprintf("SELECT lower(hex(hash)) FROM entry WHERE seq = %d;", seq)))(t)
		if got := sum(body + "\n"); got != prev {
			t.Errorf("entry %d: sha256sum %s, stored %s", seq, got, prev)
		}
	}
}

// What no SQLite program may do to a register by accident. The same through
// the sqlite3 tool (recursive triggers off there) and through our driver.
var forbidden = []string{
	"UPDATE entry SET line = 'x' WHERE seq = 2",
	"UPDATE OR REPLACE entry SET seq = 1 WHERE seq = 2",
	"DELETE FROM entry",
	"DELETE FROM entry WHERE seq = 3",
	"INSERT OR REPLACE INTO entry SELECT 2, at, recorded, day, writer, 'x', hash FROM entry WHERE seq = 2",
	"REPLACE INTO entry SELECT 3, at, recorded, day, writer, 'x', hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT 2, at, recorded, day, writer, 'x', hash FROM entry WHERE seq = 2 ON CONFLICT DO UPDATE SET line = 'x'",
	"INSERT INTO entry SELECT 5, at, recorded, day, writer, line, hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT 0, at, recorded, day, writer, line, hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT NULL, at, recorded, day, writer, line, hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT 4, 'soon', recorded, day, writer, line, hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT 4, at, recorded, 5, writer, line, hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT 4, at, recorded, day, writer, '', hash FROM entry WHERE seq = 3",
	"INSERT INTO entry SELECT 4, at, recorded, day, writer, line, x'00' FROM entry WHERE seq = 3",
	"UPDATE meta SET value = 'Coldbeck' WHERE key = 'box'",
	"DELETE FROM meta",
	"REPLACE INTO meta VALUES('box', 'Coldbeck')",
	"INSERT INTO meta VALUES('other', 'x')",
}

func TestChangeRefused(t *testing.T) {
	s := filled(t, 3)
	want := must(s.Range(1, 9))(t)
	for _, sql := range forbidden {
		if _, err := s.write.Exec(sql); err == nil {
			t.Errorf("done by the driver: %s", sql)
		}
		if out, err := sqliteTool(t, s.Path(), sql+";"); err == nil {
			t.Errorf("done by the sqlite3 tool: %s: %s", sql, out)
		}
	}
	got := must(s.Range(1, 9))(t)
	if len(got) != len(want) || got[1] != want[1] {
		t.Errorf("the entries are now %+v", got)
	}
	must(s.Verify(nil))(t)
	if _, err := s.read.Exec("DELETE FROM snapshot"); err == nil {
		t.Error("the reading connection wrote")
	}
}
