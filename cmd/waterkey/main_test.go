package main

import (
	"fmt"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"waterkey/demo"
	"waterkey/web"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"waterkey": main})
}

// TestScripts runs the command lines of testdata/script with the demo parts at
// hand.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Condition: func(name string) (bool, error) {
			if name == "built" { // with its front end
				return web.Pages() != nil, nil
			}
			return false, fmt.Errorf("unknown condition %s", name)
		},
		Setup: func(e *testscript.Env) error {
			for _, name := range demo.Files() {
				data, err := demo.Open(name)
				if err != nil {
					return err
				}
				if err := os.WriteFile(e.WorkDir+"/"+name, data, 0o644); err != nil {
					return err
				}
			}
			return nil
		},
	})
}
