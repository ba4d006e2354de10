package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

const unbuildable = "does not compile"

// runner tries changes to the first of its packages by the tests of all.
type runner struct {
	dirs      []string
	skip, tmp string
	tests     []test       // the quickest first
	joined    map[int]bool // the changes that are in the one program, by number
}

// test is one test of a package.
type test struct {
	binary, dir, name string
	took, cpu         time.Duration
	reached           map[int]bool
}

// chooser is what the one program is given to choose by. What is reached goes to
// a file at once: a test may end its process, or start others.
const chooser = `package %s

import ("os"; "strconv"; "sync")

var mutantNumber, _ = strconv.Atoi(os.Getenv("MUTANT"))
var mutantTrace = os.Getenv("MUTANT_TRACE")
var mutantSeen sync.Map

func mutant(n int) bool { return n == mutantNumber || mutantTrace != "" && mutantReached(n) }

func mutantReached(n int) bool {
	if _, seen := mutantSeen.LoadOrStore(n, true); !seen {
		if f, err := os.OpenFile(mutantTrace, os.O_APPEND|os.O_CREATE|os.O_WRONLY, 0o666); err == nil {
			f.WriteString(strconv.Itoa(n) + "\n")
			f.Close()
		}
	}
	return false
}
`

// prepare builds the one program and runs each test of it unchanged.
func (r *runner) prepare(chosen []mutant) error {
	r.joined = map[int]bool{}
	for i := range chosen {
		r.joined[i+1] = true
	}
	name, err := exec.Command("go", "list", "-f={{.Name}}", r.dirs[0]).Output()
	if err != nil {
		return fmt.Errorf("%s: %w", r.dirs[0], err)
	}
	for {
		texts := map[string][]byte{filepath.Join(r.dirs[0], "mutant_chosen.go"): fmt.Appendf(nil, chooser, strings.TrimSpace(string(name)))}
		spots := map[string][]spot{}
		for _, m := range chosen {
			if _, ok := texts[m.file]; !ok {
				if texts[m.file], spots[filepath.Base(m.file)], err = r.join(m.file, chosen); err != nil {
					return err
				}
			}
		}
		if err := r.lay(texts); err != nil {
			return err
		}
		out, err := exec.Command("go", "build", "-gcflags=-e", "-overlay="+r.overlay(), r.dirs[0]).CombinedOutput()
		if err == nil {
			break
		}
		if !r.part(string(out), texts, spots) {
			return fmt.Errorf("%s: with all changes: %w\n%s", r.dirs[0], err, out)
		}
	}
	for i, dir := range r.dirs {
		binary := filepath.Join(r.tmp, fmt.Sprint("tests", i))
		if err := r.build(binary, dir); err != nil {
			return err
		}
		if err := r.baseline(binary, dir); err != nil {
			return err
		}
	}
	slices.SortStableFunc(r.tests, func(a, b test) int { return cmp.Compare(a.took, b.took) })
	var whole time.Duration
	for _, t := range r.tests {
		whole += t.took
	}
	fmt.Printf("-- %s: %d changes, %d of them in one program; %d tests of %v\n", r.dirs[0], len(chosen), len(r.joined), len(r.tests), whole.Round(time.Second))
	return nil
}

// spot is where the choice of a change lies in the joined text.
type spot struct{ number, from, to int }

// join writes a file with the choices of all its changes.
func (r *runner) join(file string, chosen []mutant) ([]byte, []spot, error) {
	src, err := os.ReadFile(file)
	if err != nil {
		return nil, nil, err
	}
	var own []int
	for i, m := range chosen {
		if m.file == file && r.joined[i+1] {
			own = append(own, i+1)
		}
	}
	at := func(n int) mutant { return chosen[n-1] }
	slices.SortStableFunc(own, func(a, b int) int {
		return cmp.Or(cmp.Compare(at(a).begin, at(b).begin), cmp.Compare(at(b).end, at(a).end))
	})
	var out []byte
	var spots []spot
	done := 0
	var upTo func(end int)
	upTo = func(end int) {
		for len(own) > 0 && at(own[0]).begin < end {
			n, m := own[0], at(own[0])
			own = own[1:]
			before, after := m.choice(n)
			out = append(out, src[done:m.begin]...)
			done = m.begin
			from := len(out)
			out = append(out, before...)
			upTo(m.end)
			out = append(out, after...)
			spots = append(spots, spot{n, from, len(out)})
		}
		out = append(out, src[done:end]...)
		done = end
	}
	upTo(len(src))
	return out, spots, nil
}

var complaint = regexp.MustCompile(`(?m)^(?:.*/)?([^/\n]+\.go):(\d+):(?:(\d+):)? `)

// part takes out of the one program the changes that the compiler complains about:
// the innermost around the place, or the nearest after it in its line or before it.
func (r *runner) part(out string, texts map[string][]byte, spots map[string][]spot) bool {
	before := len(r.joined)
	for _, c := range complaint.FindAllStringSubmatch(out, -1) {
		line, _ := strconv.Atoi(c[2])
		column, _ := strconv.Atoi(c[3]) // 0 where it is not told
		begin, end := 0, 0
		for l := range bytes.Lines(texts[filepath.Join(r.dirs[0], c[1])]) {
			end += len(l)
			if line--; line == 0 {
				break
			}
			begin = end
		}
		place := begin + max(0, column-1)
		far := func(s spot) int {
			switch {
			case s.from >= end:
				return math.MaxInt
			case s.from > place:
				return s.from - place
			}
			return max(0, place-s.to+1)
		}
		if len(spots[c[1]]) == 0 {
			continue
		}
		found := slices.MinFunc(spots[c[1]], func(a, b spot) int {
			return cmp.Or(cmp.Compare(far(a), far(b)), cmp.Compare(a.to-a.from, b.to-b.from))
		})
		delete(r.joined, found.number)
	}
	return len(r.joined) < before
}

// lay puts texts in the place of files for the compiler.
func (r *runner) lay(texts map[string][]byte) error {
	places := map[string]string{}
	for file, text := range texts {
		path, err := filepath.Abs(file)
		if err != nil {
			return err
		}
		places[path] = filepath.Join(r.tmp, filepath.Base(file))
		if err := os.WriteFile(places[path], text, 0o600); err != nil {
			return err
		}
	}
	text, err := json.Marshal(map[string]any{"Replace": places})
	if err != nil {
		return err
	}
	return os.WriteFile(r.overlay(), text, 0o600)
}

func (r *runner) overlay() string { return filepath.Join(r.tmp, "overlay.json") }

func (r *runner) build(binary, dir string) error {
	out, err := exec.Command("go", "test", "-c", "-vet=off", "-ldflags=-s -w", "-overlay="+r.overlay(), "-o", binary, dir).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w\n%s", dir, err, out)
	}
	return nil
}

// baseline runs each test of a package unchanged: how long it takes, and what it reaches.
func (r *runner) baseline(binary, dir string) error {
	list := exec.Command(binary, "-test.list=^(Test|Example|Fuzz)") // it takes no -test.skip
	list.Dir = dir
	names, err := list.Output()
	if err != nil {
		return fmt.Errorf("%s: %w", dir, err)
	}
	skip, err := regexp.Compile(cmp.Or(r.skip, "^$"))
	if err != nil {
		return fmt.Errorf("-skip: %w", err)
	}
	for _, name := range strings.Fields(string(names)) {
		if skip.MatchString(name) {
			continue
		}
		t := test{binary: binary, dir: dir, name: name, took: time.Hour, cpu: time.Hour, reached: map[int]bool{}}
		trace := filepath.Join(r.tmp, "trace")
		os.Remove(trace)
		begin := time.Now()
		out, cpu, err := t.run("MUTANT_TRACE=" + trace)
		if err != nil {
			return fmt.Errorf("%s: %s fails before anything is changed: %w\n%s", dir, name, err, out)
		}
		t.took, t.cpu = time.Since(begin), cpu
		seen, err := os.ReadFile(trace)
		if err != nil {
			continue // it comes by nothing
		}
		for _, n := range strings.Fields(string(seen)) {
			number, _ := strconv.Atoi(n)
			t.reached[number] = true
		}
		r.tests = append(r.tests, t)
	}
	return nil
}

// run runs the test in a process of its own. A change may make a loop endless:
// the shell bounds memory (KiB) and time of the processor.
func (t test) run(env string) ([]byte, time.Duration, error) {
	cmd := exec.Command("sh", "-c", `ulimit -v 8000000; ulimit -t "$1"; shift; exec "$@"`, "sh", fmt.Sprint(int(4*t.cpu.Seconds())+4),
		t.binary, "-test.short", "-test.failfast", "-test.run=^"+t.name+"$", "-test.timeout="+(10*t.took+20*time.Second).String())
	cmd.Dir, cmd.WaitDelay = t.dir, 10*time.Second
	cmd.Env = append([]string{"FAIRHAND_DEPTH=2"}, os.Environ()...) // unless the caller says how deep
	cmd.Env = append(cmd.Env, env)
	out, err := cmd.CombinedOutput()
	return out, cmd.ProcessState.UserTime() + cmd.ProcessState.SystemTime(), err
}

// judge gives "" for a change that was noticed, else why it was not.
func (r *runner) judge(number int, m mutant) (string, error) {
	if !r.joined[number] {
		return r.alone(m)
	}
	verdict := "no test comes here"
	for _, t := range r.tests {
		if !t.reached[number] {
			continue
		}
		if _, _, err := t.run("MUTANT=" + strconv.Itoa(number)); err != nil {
			return "", nil
		}
		verdict = "survived"
	}
	return verdict, nil
}

// alone tries a change built by itself.
func (r *runner) alone(m mutant) (string, error) {
	src, err := os.ReadFile(m.file)
	if err != nil {
		return "", err
	}
	if err := r.lay(map[string][]byte{m.file: m.apply(src)}); err != nil {
		return "", err
	}
	binary := filepath.Join(r.tmp, "alone")
	for _, dir := range r.dirs {
		if r.build(binary, dir) != nil {
			return unbuildable, nil
		}
		for _, t := range r.tests {
			if t.dir != dir {
				continue
			}
			t.binary = binary
			if _, _, err := t.run("MUTANT=0"); err != nil {
				return "", nil
			}
		}
	}
	return "survived", nil
}
