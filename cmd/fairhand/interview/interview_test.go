package interview

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"fairhand/block"
	"fairhand/block/rulebook"
	"fairhand/register"
	"fairhand/register/boxfile"
)

// allAnswers answers every kind of question once.
const allAnswers = `british-later
Thrackley Vale Railway
Ennerholme
Europe/London
09:00
Coldbeck
token
down
Single
440
9
14
1-12
1-6
3
Saltgarth
absolute
up
Up Main
Down Main
30
yes
4
7
yes
Quarry Head
one-train
up
Single

9
14
away
Hallin Panel
track-circuit
up
Up Panel
Down Panel
5
9
no
Yard Junction
permissive
up
Up Goods
Down Goods

20
30
3
box instructions 14

Platform 1
1
no
480
460




Up Starting
section
Saltgarth
Up Main
Quarry Home
home
Quarry Head

Lever 12
lever

Points 8
points
Saltgarth

Mill Lane
user-worked
Coldbeck
2
3.5
Up Starting, Quarry Home


LC 7
keeper
saltgarth



line-clear
yes

A. Fell
signaller

yes
new
yes
`

// answered puts the answers to the questions and gives what was said.
func answered(t *testing.T, answers string) (said string, file *boxfile.File, err error) {
	t.Helper()
	var out strings.Builder
	made, err := Box(context.Background(), strings.NewReader(answers), &out, true, "ennerholme")
	return out.String(), made.File, err
}

func TestEveryQuestionIsExplained(t *testing.T) {
	plain, _, err := answered(t, allAnswers)
	if err != nil {
		t.Fatalf("%v without a ?:\n%s", err, plain)
	}
	questions := strings.Count(allAnswers, "\n")
	said, _, err := answered(t, "?\n"+strings.TrimSuffix(strings.ReplaceAll(allAnswers, "\n", "\n?\n"), "?\n"))
	if err != nil {
		t.Fatalf("%v:\n%s", err, said)
	}
	if n := strings.Count(said, ": ?\n"); n != questions {
		t.Errorf("%d answers of ?, want %d", n, questions)
	}
	if strings.Contains(said, ": ?\n    \n") {
		t.Errorf("a question without an explanation:\n%s", said)
	}
	for about, text := range explained {
		if first, _, _ := strings.Cut(text, "."); !strings.Contains(strings.Join(strings.Fields(said), " "), first) {
			t.Errorf("the explanation of %s was never said", about)
		}
	}
	for line := range strings.Lines(said) {
		if strings.Contains(line, "Write this box to") { // as long as the directory's name
			continue
		}
		if i := strings.LastIndex(line, ": "); i >= 0 && slices.Contains(strings.Split("?\n"+allAnswers, "\n"), strings.TrimSpace(line[i+2:])) {
			line = line[:i] // the answer behind it is the user's
		}
		if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
			t.Errorf("%d columns: %s", n, line)
		}
	}
}

func TestGoingBack(t *testing.T) {
	plain, want, _ := answered(t, allAnswers)
	_, drawing, _ := strings.Cut(plain, "\n        ")
	drawing, _, _ = strings.Cut(drawing, "Write this box")
	for _, c := range []struct{ name, at, wrong string }{
		{"first question", "british-later\n", "<\n"},
		{"one answer", "Ennerholme\n", "Hallin\n<\n"},
		{"two answers", "Coldbeck\n", "Hallin\none-train\n<\n<\n"},
		{"over the end of a list", "Platform 1\n", "\n<\n"},
		{"an improbable clearing point kept", "30\n", "20\nyes\n<\n<\n"},
		{"an improbable clearing point not kept", "440\n9", "44\nno\n"},
	} {
		said, file, err := answered(t, strings.Replace(allAnswers, c.at, c.wrong+c.at, 1))
		if err != nil || !strings.Contains(said, drawing) {
			t.Errorf("%s: %v, want the box\n%s\ngot:\n%s", c.name, err, drawing, said)
			continue
		}
		if c.name != "an improbable clearing point kept" && !reflect.DeepEqual(file.Box, want.Box) {
			t.Errorf("%s: another box", c.name)
		}
	}
	said, file, err := answered(t, strings.Replace(allAnswers, "Europe/London\n", "Europe/London\n<\n<\n\n\n", 1))
	if err != nil || !reflect.DeepEqual(file.Box, want.Box) || !strings.Contains(said, "Name of this signal box [Ennerholme]:") {
		t.Errorf("going back forgets what was answered: %v\n%s", err, said)
	}
	said, file, err = answered(t, strings.Replace(allAnswers, "Ennerholme\nEurope/London\n09:00\n", "Enerholme\nEurope/London\n09:00\n<\n<\n<\nEnnerholme\n\n\n", 1))
	if err != nil || !reflect.DeepEqual(file.Box, want.Box) || !strings.Contains(said, "Time zone of the clock [Europe/London]:") {
		t.Errorf("a name put right forgets what was answered behind it: %v\n%s", err, said)
	}
	if said, _, _ := answered(t, allAnswers); !strings.Contains(said, "really only 30?") {
		t.Errorf("30 yards is not doubted:\n%s", said)
	}
}

// The box file that comes of the answers says what was answered, and an interview
// that is broken off gives none.
func TestBoxOfTheAnswers(t *testing.T) {
	_, file, err := answered(t, allAnswers)
	if err != nil {
		t.Fatal(err)
	}
	b := file.Box
	if b.Name != "Ennerholme" || b.ClockCheck != 9*3600 || len(b.Sections) != 5 || len(b.Places) != 1 || len(b.Crossings) != 2 || len(b.People) != 1 {
		t.Fatalf("%+v", b)
	}
	cold, salt := &b.Sections[0], &b.Sections[1]
	if cold.Towards != "down" || len(cold.Lines) != 1 || len(cold.Tokens.Charge) != 12 || len(cold.Tokens.Here) != 6 || cold.Tokens.LowStock != 3 {
		t.Errorf("%+v", cold)
	}
	if len(salt.Lines) != 2 || len(salt.Allow) != 1 || len(b.Places[0].BeyondHome) != 2 || b.People[0].Role != "signaller" {
		t.Errorf("%+v %+v %+v", salt, b.Places[0], b.People[0])
	}
	if b.Sections[2].Staff != block.StaffIsAway || b.Signals[0] != (block.Signal{Name: "Up Starting", Section: "Saltgarth", Line: "Up Main", Kind: "section"}) ||
		b.Signals[1].Line != "Single" || file.Timetable != timetableName {
		t.Errorf("%+v %+v %q", b.Sections[2], b.Signals, file.Timetable)
	}
	if !slices.Equal(b.Gear, []block.Gear{{Name: "Lever 12", Kind: "lever"}, {Name: "Points 8", Kind: "points", Section: "Saltgarth"},
		{Name: "Mill Lane telephone", Kind: "crossing-telephone", Crossing: "Mill Lane"}}) {
		t.Errorf("%+v", b.Gear)
	}
	if g := &b.Sections[4]; g.Trains != 3 || !b.Sections[3].OnlyReported || g.Source != "box instructions 14" {
		t.Errorf("%+v", g)
	}
	if !b.PINs {
		t.Error("no PINs are asked for")
	}
	if c := &b.Crossings[0]; c.Name != "Mill Lane" || c.Kind != block.UserWorked || c.Section != "Coldbeck" || len(c.From) != 2 || c.From[1] != (block.MinutesFrom{Box: "Coldbeck", Time: 210}) {
		t.Errorf("%+v", c)
	}
	if c := &b.Crossings[0]; !slices.Equal(c.ProtectedBy, []string{"Up Starting", "Quarry Home"}) || c.ReportClear != "large-only" {
		t.Errorf("%+v", c)
	}
	if c := &b.Crossings[1]; c.Kind != block.KeeperCrossing || c.Section != "Saltgarth" || c.ToldBefore != "line-clear" || !c.PrivateNumbers {
		t.Errorf("%+v", c)
	}
	for answers, want := range map[string]string{
		"british-later\nThrackley":                       errAnswersEnded.Error(),
		strings.TrimSuffix(allAnswers, "yes\n") + "no\n": "as you wish",
	} {
		if _, _, err := answered(t, answers); err == nil || err.Error() != want {
			t.Errorf("%v, want %s", err, want)
		}
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	pipe, _ := io.Pipe()
	if _, err := Box(ctx, pipe, io.Discard, true, ""); !errors.Is(err, context.Canceled) {
		t.Errorf("interrupted: %v", err)
	}
}

// A timetable is copied as it is when the box described can read it; one that it cannot
// read is told, and asked for again.
func TestTimetableOfTheAnswers(t *testing.T) {
	dir := t.TempDir()
	good, bad := filepath.Join(dir, "good.csv"), filepath.Join(dir, "bad.csv")
	head := register.EmptyTimetable
	for path, text := range map[string]string{good: head + "2P07,3-1,Coldbeck,Saltgarth,10:40,10:44,Platform 1\n", bad: head + "2P07,3-1,Nowhere,Saltgarth,10:40,10:44,\n"} {
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	var out strings.Builder
	answers := strings.Replace(allAnswers, "\nnew\n", "\n"+filepath.Join(dir, "none.csv")+"\n"+bad+"\n"+good+"\n<\n-\n<\n"+good+"\n<\n\n", 1)
	made, err := Box(context.Background(), strings.NewReader(answers), &out, true, "ennerholme")
	if err != nil || !strings.HasPrefix(string(made.Timetable), head+"2P07") {
		t.Errorf("%v %q\n%s", err, made.Timetable, out.String())
	}
	if said := strings.Join(strings.Fields(out.String()), " "); !strings.Contains(said, "no such file") || !strings.Contains(said, "Nowhere") {
		t.Errorf("what is wrong is not told:\n%s", out.String())
	}
}

// Several names in one answer are no name: it says that one is asked for after the other. What a
// person may be is listed with numbers, as every choice is, and a number takes it.
// The line that a signal stands on is proposed: a section signal lets trains out, a home
// and a distant are passed by those that come.
func TestLineOfASignalIsProposed(t *testing.T) {
	for kind, want := range map[string]string{"section": "Up Main", "home": "Down Main", "distant": "Down Main"} {
		said, file, err := answered(t, strings.Replace(allAnswers, "section\nSaltgarth\nUp Main\n", kind+"\nSaltgarth\n\n", 1))
		if err != nil || file.Box.Signals[0].Line != want || !strings.Contains(said, "The line it stands on ["+want+"]:") {
			t.Errorf("%s: %v\n%s", kind, err, said)
		}
	}
}

func TestOneNameAtATime(t *testing.T) {
	said, file, err := answered(t, strings.NewReplacer("Platform 1\n1\n", "Platform 1, Platform 2\nPlatform 1\n1\n", "A. Fell\nsignaller", "A. Fell, R. Howe\nA. Fell\n1").Replace(allAnswers))
	if err != nil || len(file.Box.Places) != 1 || file.Box.Places[0].Name != "Platform 1" || len(file.Box.People) != 1 || file.Box.People[0].Role != "signaller" {
		t.Fatalf("%v: %+v", err, file)
	}
	for _, want := range []string{"one at a time: answer Platform 1,", "one at a time: answer A. Fell,", "    1  signaller\n"} {
		if !strings.Contains(said, want) {
			t.Errorf("it does not say %q:\n%s", want, said)
		}
	}
}

// The drawing of the box shows its level crossings where they lie, and the question how a
// section is worked says where the ways are that the rule set does not have.
func TestDrawingShowsCrossings(t *testing.T) {
	said, _, err := answered(t, strings.Replace(allAnswers, "LC 7\n", "Station Road\nworked\nPlatform 1\n\nLC 7\n", 1))
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"\n--#-- Mill Lane ", "|   --#-- Station Road "} {
		if !strings.Contains(said, want) {
			t.Errorf("the drawing has no %q:\n%s", want, said)
		}
	}
	for name, way := range map[string]rulebook.Method{"indian-general": rulebook.AxleCounter, "british-later": rulebook.TrackCircuit} {
		if !slices.Contains(rulebook.RuleSetNamed(name).Methods, way) || !strings.Contains(explained["sections.method"], way.String()) {
			t.Errorf("%s is not said to be in %s, or is not there", way, name)
		}
	}
}
