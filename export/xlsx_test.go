package export

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"fairhand/register/registertest"
)

// xlsxText is every cell of a workbook, read back.
func xlsxText(t *testing.T, data []byte) string {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var out strings.Builder
	for _, s := range f.GetSheetList() {
		rows, err := f.GetRows(s)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			out.WriteString(strings.Join(r, "\t") + "\n")
		}
	}
	return out.String()
}

// Codes, train names and times are text cells, numbers of entries are numbers,
// and nothing is a formula.
func TestXLSXCells(t *testing.T) {
	d := tuesday(t)
	f, err := excelize.OpenReader(strings.NewReader(written(t, "xlsx", d)))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if got := strings.Join(f.GetSheetList(), " "); got != "Trains Entries Findings Handover Figures" {
		t.Errorf("sheets %s", got)
	}
	numbers, seen := map[string]bool{}, map[string]bool{}
	for _, section := range dayDocument(d, formats[slices.IndexFunc(formats, func(f Format) bool { return f.Name == "xlsx" })].parts).Sections {
		for _, table := range section.Data {
			for _, c := range table.Columns {
				numbers[c.Head] = c.Number
			}
		}
	}
	for _, sheet := range f.GetSheetList() {
		rows, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		if p, err := f.GetSheetProps(sheet); err != nil || p.FitToPage == nil || !*p.FitToPage {
			t.Errorf("%s is not printed to the width of a page: %+v, %v", sheet, p, err)
		}
		if p, err := f.GetPanes(sheet); err != nil || !p.Freeze || p.TopLeftCell != "B6" {
			t.Errorf("%s: its headings do not stay in view: %+v, %v", sheet, p, err)
		}
		for r := sheetHead + 1; r <= len(rows); r++ {
			for c, v := range rows[r-1] {
				at, _ := excelize.CoordinatesToCellName(c+1, r)
				kind, err := f.GetCellType(sheet, at)
				if err != nil {
					t.Fatal(err)
				}
				if formula, _ := f.GetCellFormula(sheet, at); formula != "" {
					t.Errorf("%s %s is the formula %s", sheet, at, formula)
				}
				head := rows[sheetHead-1][c]
				isNumber := numbers[head]
				if v != "" && (kind == excelize.CellTypeSharedString) == isNumber {
					t.Errorf("%s %s (%s) %q is of type %d", sheet, at, head, v, kind)
				}
				seen[v] = true
			}
		}
	}
	for _, want := range []string{"3-1", "1E45", "10:41"} {
		if !seen[want] {
			t.Errorf("no cell holds %q", want)
		}
	}
}

func TestXLSXIsDeterministic(t *testing.T) {
	d := registertest.DemoDay(t, "..")
	first := written(t, "xlsx", d)
	for range 3 {
		if written(t, "xlsx", d) != first {
			t.Fatal("two exports of a day differ")
		}
	}
}

// Control characters and formulas in a remark come through as text.
func TestXLSXAnyText(t *testing.T) {
	d := noteDay(t, "plain")
	d.Entries[1].Event.Text = "=1+1 \x01 🚂 _x0041_"
	if text := xlsxText(t, []byte(written(t, "xlsx", d))); !strings.Contains(text, "=1+1 [U+0001] 🚂 _x0041_") {
		t.Errorf("%s", text)
	}
}

// LibreOffice reads the workbook and 3-1 is still text: in its CSV with all text
// quoted (token 7 of the filter options) a date or a number would stand bare.
func TestXLSXInLibreOffice(t *testing.T) {
	office, err := exec.LookPath("soffice")
	if err != nil || testing.Short() {
		t.Skip("LibreOffice is not installed, or -short is set: it takes some seconds to start")
	}
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "day.xlsx"), []byte(written(t, "xlsx", tuesday(t))), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(office, "-env:UserInstallation=file://"+dir+"/profile", "--headless", "--convert-to",
		`csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,false,false`, "--outdir", dir, filepath.Join(dir, "day.xlsx")).CombinedOutput()
	if err != nil {
		t.Fatalf("%v %s", err, out)
	}
	got, err := os.ReadFile(filepath.Join(dir, "day.csv"))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`"3-1"`, `"1E45"`, `"10:41"`} {
		if !strings.Contains(string(got), want) {
			t.Errorf("no %s in what LibreOffice read:\n%s", want, got)
		}
	}
}
