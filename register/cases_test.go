package register

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/tools/txtar"

	"fairhand/block"
	"fairhand/register/boxfile"
	"fairhand/register/notation"
)

// Reasons shared by several published cases.
const (
	onlyNamed = "the case list gives place, year and working only; nothing of what was booked or rung"
	authority = "numbered authorities from a control office, not block signals between boxes: the read-back of a message is kept verbatim, its truth is not judged"
)

// publishedCases are the published accidents and register pages that Fairhand is
// checked against: each has scenario files under testdata/check, or the reason
// why a register of block working cannot decide it.
var publishedCases = []struct {
	id, what string
	files    []string
	reason   string
}{
	{"A1", "Shrivenham 1936", []string{"case_a01_shrivenham", "case_a01_shrivenham_complete", "case_a01_shrivenham_no_tail_lamp", "case_a01_shrivenham_acted_on", "case_a01_marston", "case_a01_ashbury_clock"}, ""},
	{"A2", "Papakura 2011", nil, onlyNamed + "; " + authority},
	{"A3", "Abermule 1921", []string{"case_a03_abermule", "case_a03_abermule_out_of_section", "case_a03_abermule_regular"}, ""},
	{"A4", "Warnervale 2014", []string{"case_a04_warnervale", "case_a04_warnervale_carried"}, ""},
	{"A5", "Whangamarino 1914", nil, onlyNamed},
	{"A6", "New Lynn 1913", []string{"case_a06_new_lynn", "case_a06_new_lynn_foot_of_gradient"}, ""},
	{"A7", "Quintinshill 1915", []string{"case_a07_quintinshill", "case_a07_quintinshill_handover", "case_a07_quintinshill_blocked_back"}, ""},
	{"A8", "Hawes Junction 1910", []string{"case_a08_hawes_junction"}, ""},
	{"A9", "Liverpool St James 1913", []string{"case_a09_liverpool_st_james"}, ""},
	{"A10", "Winsford 1948", []string{"case_a10_winsford"}, ""},
	{"A11", "Winwick Junction 1934", []string{"case_a11_winwick", "case_a11_winwick_shunted"}, ""},
	{"A12", "Thirsk 1892", []string{"case_a12_thirsk", "case_a12_thirsk_long_in_section"}, ""},
	{"A13", "Pontypridd 1911", nil, onlyNamed + "; lock-and-block instruments are not modelled"},
	{"A14", "Barnes 1955", []string{"case_a14_barnes"}, ""},
	{"A15", "Castlecary 1937", []string{"case_a15_castlecary", "case_a15_castlecary_clear"}, ""},
	{"A16", "Knowle and Dorridge 1963", []string{"case_a16_knowle", "case_a16_knowle_double_block", "case_a16_knowle_double_block_met"}, ""},
	{"A17", "Welwyn Garden City 1935", []string{"case_a17_welwyn"}, ""},
	{"A18", "Romney Sands 2019", []string{"case_a18_romney_sands", "case_a18_romney_sands_staff_here", "case_a18_romney_sands_staff_gone"}, ""},
	{"A19", "Thorpe 1874", []string{"case_a19_thorpe", "case_a19_thorpe_crossed"}, ""},
	{"A20", "Clayton 1861", []string{"case_a20_clayton"}, ""},
	{"A21", "Sandal", nil, onlyNamed},
	{"A22", "overrides of instruments", nil, onlyNamed + "; the override of an instrument is not modelled"},
	{"A23", "Parikawa 2012", []string{"case_a23_parikawa"}, ""},
	{"A24", "Wiri, 12 November 2011", []string{"case_a24_wiri_2011"}, ""},
	{"A25", "Staircase 2011", []string{"case_a25_staircase", "case_a25_staircase_clear"}, ""},
	{"A26", "Otira 2013", []string{"case_a26_otira"}, ""},
	{"A27", "Manunui 2015", nil, onlyNamed + "; an occupation noted in a log book, as in A25 and A26"},
	{"A28", "Wiri, 31 August 2012", []string{"case_a28_wiri_2012"}, ""},
	{"B1", "register page, time signal, Rule 55", []string{"case_b01_time_signal"}, ""},
	{"B2", "hours left out of the column", []string{"case_b02_hour_left_out"}, ""},
	{"B3", "errors struck through", []string{"case_b03_error_struck_through"}, ""},
	{"B4", "Shrivenham registers as a pair", []string{"case_a01_shrivenham", "case_a01_marston"}, ""},
	{"B5", "Kendall Green 1973", []string{"case_b05_kendall_green"}, ""},
	{"B6", "Deepfields 1964", []string{"case_b06_deepfields", "case_b06_deepfields_not_booked", "case_b06_deepfields_no_message"}, ""},
	{"B7", "Bloomfield Junction, July 1962", []string{"case_b07_bloomfield_early"}, ""},
	{"B8", "Bloomfield Junction, November 1962", []string{"case_b08_bloomfield_starter", "case_b08_bloomfield_starter_default"}, ""},
	{"B9", "Tipton 1965", []string{"case_b09_tipton"}, ""},
	{"B10", "Tipton Curve 1965", []string{"case_b10_out_of_gauge"}, ""},
	{"B11", "New Lynn train-book 1913", []string{"case_b11_new_lynn_train_book"}, ""},
	{"B12", "Glenbrook 1999", nil, "the register page is an image that could not be read"},
	{"B13", "Dagenham East 1958", nil, "only the list of contents could be read"},
	{"C1", "Hockham Road 2016", []string{"case_c01_hockham_road"}, ""},
	{"C2", "Dock Lane 2016", []string{"case_c02_dock_lane"}, ""},
	{"C3", "Worlingham 2020", []string{"case_c03_worlingham"}, ""},
	{"C4", "Bagillt 2018", []string{"case_c04_bagillt", "case_c04_bagillt_large"}, ""},
	{"C5", "Moreton-on-Lugg 2010", []string{"case_c05_moreton"}, ""},
	{"C6", "Redcar 2024", []string{"case_c06_redcar"}, ""},
	{"C7", "Roundstone 1965", []string{"case_c07_roundstone"}, ""},
	{"C8", "Little London 1957", []string{"case_c08_little_london"}, ""},
	{"C9", "Lydney 2011", []string{"case_c09_lydney"}, ""},
	{"C10", "Broad Oak 2017", []string{"case_c10_broad_oak"}, ""},
	{"C11", "Craven Arms 2024", []string{"case_c11_craven_arms"}, ""},
	{"C12", "Frampton Mansell 2017", []string{"case_c12_frampton_mansell"}, ""},
	{"C13", "Lydney Town 2007", []string{"case_c13_lydney_town"}, ""},
	{"C14", "Poplar Farm 2008", []string{"case_c14_poplar_farm"}, ""},
	{"C15", "Lingwood 2014", []string{"case_c15_lingwood"}, ""},
	{"C16", "Needingworth 1952", []string{"case_c16_needingworth"}, ""},
	{"C17", "Naworth 1926", []string{"case_c17_naworth"}, ""},
	{"C18", "Buttevant 2010", []string{"case_c18_buttevant"}, ""},
	{"D1", "Warngau 1975", []string{"case_d01_warngau"}, ""},
	{"D2", "Andria 2016", []string{"case_d02_andria"}, ""},
	{"D3", "Alcafache 1985", nil, onlyNamed + "; which place trains were to cross at is not in the book"},
	{"D4", "Mukerian 2004", nil, onlyNamed},
}

const partA, partB, partC, partD = 28, 13, 18, 4 // cases in the parts of the list; C is level crossings, D words by telephone

// TestPublishedCasesCovered holds that every published case is either replayed
// or has its reason, that its files exist and name a source, and that no case
// file stands outside the table.
func TestPublishedCasesCovered(t *testing.T) {
	if len(publishedCases) != partA+partB+partC+partD {
		t.Errorf("%d cases in the table, want %d", len(publishedCases), partA+partB+partC+partD)
	}
	used, count := map[string]bool{}, 0
	for _, c := range publishedCases {
		if (len(c.files) == 0) == (c.reason == "") {
			t.Errorf("%s %s: scenario files or a reason, one of the two", c.id, c.what)
		}
		if len(c.files) > 0 {
			count++
		}
		for _, f := range c.files {
			used[f] = true
			a, err := txtar.ParseFile(filepath.Join("testdata/check", f+".txtar"))
			if err != nil {
				t.Errorf("%s %s: %v", c.id, c.what, err)
				continue
			}
			if !regexp.MustCompile(`Sources?( and marks)?[: ]`).Match(a.Comment) {
				t.Errorf("%s: the comment names no source", f)
			}
		}
	}
	files, err := filepath.Glob("testdata/check/case_*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if name := strings.TrimSuffix(filepath.Base(f), ".txtar"); !used[name] {
			t.Errorf("%s belongs to no published case", name)
		}
	}
	t.Logf("%d of %d published cases are replayed in %d scenarios; the other %d have a reason", count, len(publishedCases), len(used), len(publishedCases)-count)
}

// replayed reads the book of a scenario and returns its entries and every train
// it knows, those whose row is closed first.
func replayed(t *testing.T, name string) ([]block.Event, map[string]*block.Train) {
	t.Helper()
	a, err := txtar.ParseFile(filepath.Join("testdata/check", name+".txtar"))
	if errors.Is(err, os.ErrNotExist) {
		t.Skipf("%s is not there yet", name)
	}
	if err != nil {
		t.Fatal(err)
	}
	file, err := boxfile.Decode(bytes.NewReader(part(a, "box.yaml")), "box.yaml")
	if err != nil {
		t.Fatal(err)
	}
	run := block.NewRunner(file.Box, block.NewState(file.Box))
	trains := map[string]*block.Train{}
	events, err := notation.ParseAll(bytes.NewReader(part(a, "book.txt")), file.Location)
	if err != nil {
		t.Fatal(err)
	}
	for i := range events {
		run.Step(&events[i])
		for _, tr := range slices.Concat(run.Look().Trains, run.Look().Closed) {
			copied := *tr
			trains[tr.Name] = &copied
		}
	}
	return events, trains
}

// TestShrivenhamRunningTimes compares the times on the trains' rows in the book
// of Marston with those that follow from the report: Lt-Col Mount, Shrivenham,
// 15 January 1936 (mineral 7 minutes in the section ahead and 9 in the section in
// rear, express 4, down milk 3, 14 minutes between the two up trains).
func TestShrivenhamRunningTimes(t *testing.T) {
	_, trains := replayed(t, "case_a01_marston")
	mineral, express, milk := trains["mineral"], trains["express"], trains["milk"]
	if mineral == nil || express == nil || milk == nil {
		t.Fatalf("trains in the book: %v", trains)
	}
	for _, c := range []struct {
		what     string
		from, to block.Time
		minutes  block.Time
	}{
		{"mineral, Marston to clear of Shrivenham", mineral.Out.Entering, mineral.Out.OutOf, 7},
		{"mineral, Highworth to Marston", mineral.In.Entering, mineral.In.Arrived, 9},
		{"express, Highworth to Marston", express.In.Entering, express.In.Arrived, 4},
		{"down milk, Shrivenham to Marston", milk.In.Entering, milk.In.Arrived, 3},
		{"mineral and express at Marston", mineral.In.Arrived, express.In.Arrived, 14},
	} {
		if got := (c.to - c.from) / block.Minute; c.from == 0 || c.to == 0 || got != c.minutes {
			t.Errorf("%s: %d minutes, want %d", c.what, got, c.minutes)
		}
	}
}

// TestColumnOfMinutes reads the sample column of the printed register
// instructions reproduced with the Quintinshill papers: 10.7, 21, 35, 50, 11.2.
func TestColumnOfMinutes(t *testing.T) {
	events, _ := replayed(t, "case_b02_hour_left_out")
	loc, err := time.LoadLocation("Europe/London")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, ev := range events {
		got = append(got, time.Unix(int64(ev.At), 0).In(loc).Format("15:04"))
	}
	if want := []string{"10:07", "10:21", "10:35", "10:50", "11:02"}; !slices.Equal(slices.Compact(got), want) {
		t.Errorf("times read: %v, want %v", got, want)
	}
}
