package store

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"

	"waterkey/desk"
)

func init() {
	children["full"] = func(folder string) { inMount(folder, fillDisk) }
	children["readonly"] = func(folder string) { inMount(folder, writeNowhere) }
}

// mounted is the size of the small disk, in bytes.
const mounted = 3 << 20

// TestSmallDisk runs on a disk of its own that really is full or read-only: a
// file system in memory, in a mount namespace that ends with the child.
func TestSmallDisk(t *testing.T) {
	for _, child := range []string{"full", "readonly"} {
		cmd := exec.Command(os.Args[0], t.TempDir())
		cmd.Env = append(os.Environ(), childVariable+"="+child)
		cmd.SysProcAttr = &syscall.SysProcAttr{Cloneflags: syscall.CLONE_NEWNS}
		out, err := cmd.CombinedOutput()
		if errors.Is(err, syscall.EPERM) || strings.Contains(string(out), "cannot mount") {
			t.Skipf("no right to mount here: a full and a read-only disk are not tested (%v %s)", err, out)
		}
		if err != nil || !strings.Contains(string(out), "as it should be") {
			t.Errorf("%s: %v\n%s", child, err, out)
		}
		t.Logf("%s: %s", child, out)
	}
}

// inMount mounts a small disk and runs a check on it; a panic is its verdict.
func inMount(folder string, check func(folder string)) {
	err := errors.Join(syscall.Mount("", "/", "", syscall.MS_REC|syscall.MS_PRIVATE, ""),
		syscall.Mount("tmpfs", folder, "tmpfs", 0, fmt.Sprintf("size=%d", mounted)))
	if err != nil {
		fmt.Println("cannot mount:", err)
		os.Exit(0)
	}
	check(folder)
	fmt.Println("as it should be")
}

func check(is bool, format string, args ...any) {
	if !is {
		panic(fmt.Sprintf(format, args...))
	}
}

// fillDisk fills the disk with files, then with records.
func fillDisk(folder string) {
	s, err := Open(ctx, folder, Options{})
	check(err == nil, "open: %v", err)
	_, err = s.AddBlob(ctx, strings.NewReader(strings.Repeat("x", mounted)), mounted)
	check(errors.Is(err, desk.ErrFull) && strings.Contains(err.Error(), "make room"), "a file too many: %v", err)
	fmt.Println(err)
	kept := 0
	for err = nil; err == nil && kept < 10_000; kept++ {
		p := aPlayer("")
		p.Name = strings.Repeat("Anna ", 2000)
		_, err = s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Put(p)}})
	}
	check(errors.Is(err, desk.ErrFull), "a record too many: %v", err)
	kept--
	fmt.Println(err)
	players, err := s.Players(ctx)
	check(err == nil && len(players) == kept && kept > 0, "%d of %d players (%v)", len(players), kept, err)
	check(s.Close() == nil, "close")
	// With the disk still full the season opens and shows everything, or says why.
	s, err = Open(ctx, folder, Options{})
	if errors.Is(err, desk.ErrFull) {
		fmt.Println("not opened:", err)
		return
	}
	check(err == nil, "open again: %v", err)
	players, err = s.Players(ctx)
	check(err == nil && len(players) == kept, "after the next start %d of %d players (%v)", len(players), kept, err)
}

// writeNowhere opens a season on a disk that has become read-only.
func writeNowhere(folder string) {
	s, err := Open(ctx, folder, Options{})
	check(err == nil, "open: %v", err)
	_, err = s.Commit(ctx, desk.Change{Edits: []desk.Edit{desk.Put(aPlayer("anna"))}})
	check(err == nil && s.Close() == nil, "write: %v", err)
	check(syscall.Mount("tmpfs", folder, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, "") == nil, "remount")
	_, err = Open(ctx, folder, Options{})
	check(errors.Is(err, desk.ErrReadOnly) && strings.Contains(err.Error(), folder), "open read-only: %v", err)
	fmt.Println(err)
	_, err = Open(ctx, folder+"/new", Options{})
	check(errors.Is(err, desk.ErrReadOnly), "make a folder: %v", err)
}
