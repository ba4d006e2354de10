// Command mutate asks how much the tests of a package would notice. It changes
// one thing at a time in the package's code (see sites.go), runs the tests that
// come by on it, the quickest first, and prints each change that they let pass.
// The tree is never touched: the compiler is given the changed files as an overlay.
//
//	go run ./.ci/mutate -n 100 -seed 1 ./register/store ./register/seal
//
// All changes that can be chosen when the program runs are built into one
// program, which also tells what each test comes by; a change to what must be
// constant is built alone. A change that does not compile does not count. One
// that runs out of time or memory counts as noticed.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"regexp"
	"strings"
	"time"
)

// mostJoined is how many changes go into one program: all those of the largest package
// together took the compiler 24 GB.
const mostJoined = 1500

func main() {
	n := flag.Int("n", mostJoined, "changes to try in each package, drawn at random where it has more")
	seed := flag.Uint64("seed", 1, "what the draw begins with: the same seed and code give the same changes")
	at := flag.String("at", "", "only changes whose file:line matches this regular expression")
	skip := flag.String("skip", "", "tests not to run, as for go test -skip: the slow ones")
	with := flag.String("with", "", "packages, with commas between, whose tests are asked as well")
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
		chosen = chosen[:min(len(chosen), *n, mostJoined)]
		if *list {
			for _, m := range chosen {
				fmt.Println(m)
			}
			continue
		}
		if err := try(&runner{dirs: append([]string{dir}, strings.FieldsFunc(*with, func(c rune) bool { return c == ',' })...), skip: *skip}, chosen, *span, len(all)); err != nil {
			fail(err)
		}
	}
}

func fail(err error) {
	fmt.Fprintln(os.Stderr, "mutate:", err)
	os.Exit(1)
}

// try runs the tests on each change and prints the survivors and the score.
func try(r *runner, chosen []mutant, span time.Duration, of int) error {
	tmp, err := os.MkdirTemp("", "mutate-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(tmp)
	r.tmp = tmp
	if err := r.prepare(chosen); err != nil {
		return err
	}
	killed, survived, unbuilt, begin := 0, 0, 0, time.Now()
	for i, m := range chosen {
		if span > 0 && time.Since(begin) > span {
			break
		}
		verdict, err := r.judge(i+1, m)
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
			r.dirs[0], killed, tried, 100*float64(killed)/float64(tried), of, unbuilt)
	}
	return nil
}
