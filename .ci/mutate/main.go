// Command mutate asks how much the tests of a package would notice. It changes
// one thing at a time in the package's code (see sites.go), runs the package's
// own tests on it, and prints each change that they let pass. The tree is never
// touched: the compiler is given the changed file as an overlay.
//
//	go run ./.ci/mutate -n 100 -seed 1 ./register/store ./register/seal
//
// A change that does not compile does not count. One that runs out of time or
// memory counts as noticed. One that no test reaches is not run: it survives.
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"time"

	"golang.org/x/tools/cover"
)

func main() {
	n := flag.Int("n", 0, "changes to try in each package, drawn at random; 0 tries all")
	seed := flag.Uint64("seed", 1, "what the draw begins with: the same seed and code give the same changes")
	at := flag.String("at", "", "only changes whose file:line matches this regular expression")
	skip := flag.String("skip", "", "tests not to run, as for go test -skip: the slow ones")
	with := flag.String("with", "", "packages, with commas between, whose tests are asked about what the package's own let pass")
	span := flag.Duration("for", 0, "how long to go on with one package, such as 10m; 0 tries all that were drawn")
	list := flag.Bool("list", false, "list the changes, try none")
	flag.Parse()
	only, err := regexp.Compile(*at)
	if err != nil {
		fail(err)
	}
	for _, dir := range flag.Args() {
		all, err := mutants(dir)
		if err != nil {
			fail(err)
		}
		var chosen []mutant
		for _, m := range all {
			if only.MatchString(m.place()) {
				chosen = append(chosen, m)
			}
		}
		rng := rand.New(rand.NewPCG(*seed, 0))
		rng.Shuffle(len(chosen), func(i, j int) { chosen[i], chosen[j] = chosen[j], chosen[i] })
		if *n > 0 && len(chosen) > *n {
			chosen = chosen[:*n]
		}
		if *list {
			for _, m := range chosen {
				fmt.Println(m)
			}
			continue
		}
		if err := try(&runner{dir: dir, skip: *skip, span: *span, with: strings.FieldsFunc(*with, func(c rune) bool { return c == ',' })}, chosen, len(all)); err != nil {
			fail(err)
		}
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "mutate:", err)
	os.Exit(1)
}

// try runs the tests on each change and prints the survivors and the score.
func try(r *runner, chosen []mutant, of int) error {
	tmp, err := os.MkdirTemp("", "mutate-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(tmp)
	r.tmp = tmp
	if err := r.baseline(); err != nil {
		return err
	}
	killed, survived, unbuilt, begin := 0, 0, 0, time.Now()
	for _, m := range chosen {
		if r.span > 0 && time.Since(begin) > r.span {
			break
		}
		verdict, err := r.judge(m)
		if err != nil {
			return err
		}
		switch verdict {
		case "":
			killed++
		case unbuildable:
			unbuilt++
		default:
			survived++
			fmt.Printf("%s (%s)\n", m, verdict)
		}
	}
	if tried := killed + survived; tried > 0 {
		fmt.Printf("== %s: %d of %d killed, %.1f %% (drawn from %d; %d more did not compile)\n",
			r.dir, killed, tried, 100*float64(killed)/float64(tried), of, unbuilt)
	}
	return nil
}

const unbuildable = "does not compile"

// runner tries changes to one package.
type runner struct {
	dir, skip, tmp string
	with           []string                        // packages that are asked as well
	span           time.Duration                   // for the whole package
	limit          time.Duration                   // for one run of the tests
	blocks         map[string][]cover.ProfileBlock // by file name
}

// baseline runs the tests unchanged: how long they take, and what they reach.
func (r *runner) baseline() error {
	profile := filepath.Join(r.tmp, "cover")
	begin := time.Now()
	cmd := exec.Command("go", "test", "-count=1", "-short", "-skip="+r.skip, "-coverprofile="+profile, r.dir)
	cmd.Env = environment()
	if out, err := cmd.CombinedOutput(); err != nil {
		return fmt.Errorf("%s: the tests fail before anything is changed: %w\n%s", r.dir, err, out)
	}
	r.limit = 3*time.Since(begin) + 10*time.Second
	files, err := cover.ParseProfiles(profile)
	if err != nil {
		return err
	}
	r.blocks = map[string][]cover.ProfileBlock{}
	for _, f := range files {
		r.blocks[filepath.Base(f.FileName)] = f.Blocks
	}
	return nil
}

// idle says whether a change stands where no test comes by. Declarations stand
// in no block, and are tried.
func (r *runner) idle(m mutant) bool {
	in := false
	for _, b := range r.blocks[filepath.Base(m.file)] {
		after := m.pos.Line > b.StartLine || m.pos.Line == b.StartLine && m.pos.Column >= b.StartCol
		before := m.pos.Line < b.EndLine || m.pos.Line == b.EndLine && m.pos.Column < b.EndCol
		if after && before {
			if b.Count > 0 {
				return false
			}
			in = true
		}
	}
	return in
}

// judge gives "" for a change that was noticed, else why it was not.
func (r *runner) judge(m mutant) (string, error) {
	if err := r.change(m); err != nil {
		return "", err
	}
	verdict := "no test comes here"
	if !r.idle(m) {
		verdict = r.ask(r.dir, r.limit)
	}
	for _, dir := range r.with {
		if verdict == "" || verdict == unbuildable {
			break
		}
		// Its tests may be many times those of the package.
		verdict = r.ask(dir, 10*r.limit)
	}
	return verdict, nil
}

func (r *runner) overlay() string { return filepath.Join(r.tmp, "overlay.json") }

// change lays the changed file over the one of the tree.
func (r *runner) change(m mutant) error {
	changed := filepath.Join(r.tmp, "changed.go")
	src, err := os.ReadFile(m.file)
	if err != nil {
		return err
	}
	if err := os.WriteFile(changed, m.apply(src), 0o600); err != nil {
		return err
	}
	path, err := filepath.Abs(m.file)
	if err != nil {
		return err
	}
	text, err := json.Marshal(map[string]any{"Replace": map[string]string{path: changed}})
	if err != nil {
		return err
	}
	return os.WriteFile(r.overlay(), text, 0o600)
}

// ask runs the tests of a package on what was changed.
func (r *runner) ask(dir string, limit time.Duration) string {
	binary := filepath.Join(r.tmp, "tests")
	if exec.Command("go", "test", "-c", "-vet=off", "-ldflags=-s -w", "-overlay="+r.overlay(), "-o", binary, dir).Run() != nil {
		return unbuildable
	}
	// A change may make a loop endless: the shell bounds the memory (KiB).
	cmd := exec.Command("sh", "-c", `ulimit -v 8000000; exec "$@"`, "sh", binary,
		"-test.short", "-test.failfast", "-test.skip="+r.skip, "-test.timeout="+limit.String())
	cmd.Dir, cmd.Env, cmd.WaitDelay = dir, environment(), 10*time.Second
	var out bytes.Buffer
	cmd.Stdout, cmd.Stderr = &out, &out
	if cmd.Run() == nil {
		return "survived"
	}
	return ""
}

// environment keeps the searches shallow unless the caller says how deep.
func environment() []string {
	env := os.Environ()
	for _, e := range env {
		if strings.HasPrefix(e, "FAIRHAND_DEPTH=") {
			return env
		}
	}
	return append(env, "FAIRHAND_DEPTH=2")
}
