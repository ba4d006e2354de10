package block_test

import (
	"os"
	"testing"

	"fairhand/register/registertest"
)

func TestMain(m *testing.M) { os.Exit(registertest.Main(m)) }
