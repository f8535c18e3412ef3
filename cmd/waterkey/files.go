package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

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
		if isDir(o.path) {
			return usage(fmt.Errorf("%s is a folder; name a file in it, such as %s", o, filepath.Join(o.path, "name"+filepath.Ext(o.path))))
		}
		if dir := filepath.Dir(ledTo(o.path)); !isDir(dir) && !isThere(o.path) {
			return usage(fmt.Errorf("%s: there is no folder %s; make it first", o, filepath.Dir(o.path)))
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
		if err := checkName(c, o); err != nil {
			return usage(err)
		}
	}
	return nil
}

func isDir(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.IsDir()
}

func isThere(path string) bool {
	_, err := os.Stat(path)
	return err == nil
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

// endings are the endings that fit what a flag writes, where another would mislead. No
// ending at all is fine.
var endings = map[string][]string{
	"mark --out": {".musicxml", ".xml"}, "mark --svg": {".svg"}, "mark --air": {".svg"},
	"play --out": {".wav", ".wave"}, "hear --svg": {".svg"}, "chart --svg": {".svg"},
}

// checkName refuses a name that would say another format than is written, so that no
// program takes the file for what it is not.
func checkName(c *cobra.Command, o namedFile) error {
	if o.path == "-" {
		return fmt.Errorf("%s: standard output holds the answer in words; name a file", o)
	}
	want := endings[c.Name()+" --"+o.flag]
	end := filepath.Ext(o.path)
	if end == "" || len(want) == 0 || slices.Contains(want, strings.ToLower(end)) {
		return nil
	}
	if info, err := os.Stat(o.path); err == nil && !info.Mode().IsRegular() { // a folder or a device
		return nil
	}
	return fmt.Errorf("%s: what is written there is no %s file; want a name that ends in %s, such as %s",
		o, end, strings.Join(want, " or "), strings.TrimSuffix(o.path, end)+want[0])
}

// sameFile says whether two names are one file, or would be when it is made.
func sameFile(a, b string) bool {
	ia, errA := os.Stat(a)
	ib, errB := os.Stat(b)
	if errA == nil && errB == nil {
		return os.SameFile(ia, ib)
	}
	return ledTo(a) == ledTo(b)
}

// mostLinks are followed one after the other, so that links in a ring end (common
// practice: Linux follows 40).
const mostLinks = 40

// ledTo is where a name leads through links, though nothing may be there yet.
func ledTo(path string) string {
	for range mostLinks {
		target, err := os.Readlink(path)
		if err != nil {
			break
		}
		if !filepath.IsAbs(target) {
			target = filepath.Join(filepath.Dir(path), target)
		}
		path = target
	}
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	if dir, err := filepath.EvalSymlinks(filepath.Dir(path)); err == nil {
		path = filepath.Join(dir, filepath.Base(path))
	}
	return path
}
