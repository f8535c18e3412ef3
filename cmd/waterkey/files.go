package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// written and readFlags are the flags of all commands that name a file to write, and
// one or several to read; so do all arguments.
var (
	written   = map[string]bool{"out": true, "svg": true, "air": true, "midi": true, "ics": true, "new-profile": true}
	readFlags = map[string]bool{"profile": true, "takes": true, "take": true}
)

// namedFile is a file of the command line.
type namedFile struct{ flag, path string }

func (n namedFile) String() string {
	if n.flag == "" {
		return n.path
	}
	return fmt.Sprintf("--%s %s", n.flag, n.path)
}

// checkFiles refuses a command line that would write over what it reads, write two
// things to one place, or write to a folder, before anything is computed. A marked
// part may take the place of its page: every other byte of it stays.
func checkFiles(c *cobra.Command, args []string) error {
	var in, out []namedFile
	for _, a := range args {
		in = append(in, namedFile{"", a})
	}
	c.Flags().Visit(func(f *pflag.Flag) {
		switch {
		case written[f.Name]:
			out = append(out, namedFile{f.Name, f.Value.String()})
		case readFlags[f.Name]:
			in = append(in, filesOf(f)...)
		}
	})
	for i, o := range out {
		if info, err := os.Stat(o.path); err == nil && info.IsDir() {
			return usage(fmt.Errorf("%s is a folder; name a file in it, such as %s", o, filepath.Join(o.path, "name"+filepath.Ext(o.path))))
		}
		for _, other := range out[:i] {
			if sameFile(o.path, other.path) {
				return usage(fmt.Errorf("%s and %s are one file; name two", other, o))
			}
		}
		for _, from := range in {
			if onItself := c.Name() == "mark" && o.flag == "out" && from.flag == ""; !onItself && sameFile(o.path, from.path) {
				return usage(fmt.Errorf("%s would be written over %s, which is read; name another file", o, from.path))
			}
		}
	}
	return nil
}

// filesOf are the files that a flag names, one or several.
func filesOf(f *pflag.Flag) []namedFile {
	list, ok := f.Value.(pflag.SliceValue)
	if !ok {
		return []namedFile{{f.Name, f.Value.String()}}
	}
	var out []namedFile
	for _, path := range list.GetSlice() {
		out = append(out, namedFile{f.Name, path})
	}
	return out
}

// sameFile says whether two names are one file, or would be when it is made.
func sameFile(a, b string) bool {
	ia, errA := os.Stat(a)
	ib, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(ia, ib)
	}
	a, errA = filepath.Abs(a)
	b, errB = filepath.Abs(b)
	return errA == nil && errB == nil && a == b
}
