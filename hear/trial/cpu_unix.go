//go:build unix

package trial

import (
	"syscall"
	"time"
)

// computing is the processor time that the program has used, in seconds:
// unlike the clock it does not grow when other programs run.
func computing() float64 {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &u); err != nil {
		return 0
	}
	return (time.Duration(u.Utime.Nano()) + time.Duration(u.Stime.Nano())).Seconds()
}
