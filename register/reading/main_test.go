package reading_test

import (
	"flag"
	"os"
	"testing"

	"fairhand/register/registertest"
)

var update = flag.Bool("update", false, "rewrite shown.txt and shown_all.txt of testdata")

func TestMain(m *testing.M) { os.Exit(registertest.Main(m)) }
