//go:build !unix

package trial

import "time"

var began = time.Now()

// computing is the time since the start in seconds, where processor time is not
// to be had.
func computing() float64 { return time.Since(began).Seconds() }
