package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// examples are values that work, for flags whose default is none.
var examples = map[string]string{
	"tempo": "96", "reach": "45", "top": "5", "lungs": "4.5", "age": "16", "height": "168", "now": "30",
	"divide": "2", "accents": "2,4", "slow-from": "60", "slow-to": "96", "runs": "3",
}

// kinds are the types of values in words.
var kinds = map[string]string{"int": "a whole number", "float64": "a number", "intSlice": "whole numbers with commas between", "bool": "true or false"}

// flagError says a value that cannot be read in the words of the command line.
func flagError(_ *cobra.Command, err error) error {
	var bad *pflag.InvalidValueError
	if !errors.As(err, &bad) {
		return err
	}
	return wrongValue(bad.GetFlag(), bad.GetValue())
}

func wrongValue(f *pflag.Flag, value string) error {
	kind, ok := kinds[f.Value.Type()]
	if !ok {
		kind = "another value"
	}
	example := examples[f.Name]
	if example == "" {
		example = f.DefValue
	}
	return fmt.Errorf("--%s %s: want %s, such as %s", f.Name, value, kind, example)
}

// checkNumbers refuses numbers that are none.
func checkNumbers(c *cobra.Command) error {
	var err error
	c.Flags().Visit(func(f *pflag.Flag) {
		if f.Value.Type() != "float64" {
			return
		}
		if x, bad := strconv.ParseFloat(f.Value.String(), 64); bad != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			err = wrongValue(f, strings.ToLower(f.Value.String()))
		}
	})
	return err
}

// wants checks how many arguments there are, and says how the command is written.
func wants(check cobra.PositionalArgs) cobra.PositionalArgs {
	return func(c *cobra.Command, args []string) error {
		if check(c, args) == nil {
			return nil
		}
		got := counted(len(args), "argument")
		if len(args) == 0 {
			got = "nothing"
		}
		return fmt.Errorf("%s was given %s; write it as: waterkey %s", c.Name(), got, c.Use)
	}
}
