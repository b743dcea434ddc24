package main

import (
	"context"
	"os"
	"path/filepath"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// asProgram in the environment makes the tests' own binary the program itself.
const asProgram = "STRAPWISE_AS_PROGRAM"

func TestMain(m *testing.M) {
	if os.Getenv(asProgram) != "" {
		os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr))
	}
	testscript.Main(m, map[string]func(){
		"strapwise": func() { os.Exit(run(context.Background(), os.Args[1:], os.Stdout, os.Stderr)) },
	})
}

// TestScripts runs the command line as a person would: testdata/script, each
// script headed by what it guards. $DEMO is a copy of the demo workshop.
func TestScripts(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", "..", "testdata"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:             filepath.Join(root, "script"),
		ContinueOnError: true,
		Setup: func(e *testscript.Env) error {
			demo := filepath.Join(e.WorkDir, "demo")
			e.Setenv("DEMO", demo)
			if err := os.CopyFS(demo, os.DirFS(filepath.Join(root, "demo"))); err != nil {
				return err
			}
			// Who follows the README has laid it by now; scripts begin without a plan.
			return os.RemoveAll(filepath.Join(demo, "plans"))
		},
	})
}
