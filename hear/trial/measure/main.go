// Measure prints how exactly the listener hears: takes with known truth are
// rendered from recorded trombone notes, heard and scored.
//
//	go run ./hear/trial/measure
//
// The table goes to standard output and is the same from run to run, its last
// lines with speed and memory aside; progress goes to a terminal only.
package main

import (
	"bufio"
	"flag"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime/debug"
	"strconv"
	"strings"

	"waterkey/audio"
	"waterkey/hear"
	"waterkey/hear/trial"
)

func main() {
	shared := flag.String("shared", "../shared/data", "folder with the shared scores and samples")
	keep := flag.String("keep", "", "keep the takes as WAV files in this folder")
	only := flag.String("only", "", "only cases whose line contains this")
	alone := flag.String("alone", "", "hear this WAV file of the long take and print the peak memory in MB")
	flag.Parse()
	if err := run(*shared, *keep, *only, *alone); err != nil {
		fmt.Fprintln(os.Stderr, "measure:", err)
		os.Exit(1)
	}
}

func run(shared, keep, only, alone string) error {
	if alone != "" {
		return hearAlone(alone)
	}
	bank, err := trial.LoadBank(trial.CacheFolder(), filepath.Join(shared, "samples", "tenor-trombone"))
	if err != nil {
		return err
	}
	o := trial.Options{Bank: bank, Scores: filepath.Join(shared, "scores"), Aubio: true, Progress: progress(), Keep: keep}
	for _, c := range trial.Cases() {
		if strings.Contains(c.String(), only) {
			o.Cases = append(o.Cases, c)
		}
	}
	r, err := trial.Run(o)
	if err != nil {
		return err
	}
	if err := r.Write(os.Stdout); err != nil {
		return err
	}
	fmt.Println()
	if err := r.WriteSpeed(os.Stdout); err != nil {
		return err
	}
	return memory(bank, o.Scores)
}

// progress reports on a terminal, nil elsewhere.
func progress() func(done, all int) {
	if s, err := os.Stderr.Stat(); err != nil || s.Mode()&os.ModeCharDevice == 0 {
		return nil
	}
	return func(done, all int) {
		fmt.Fprintf(os.Stderr, "\rtake %d of %d", done, all)
		if done == all {
			fmt.Fprint(os.Stderr, "\r\x1b[K")
		}
	}
}

// memory lets a process of its own hear a take of two minutes.
func memory(bank *trial.Bank, scores string) error {
	take, err := bank.Render(trial.LongCase(), scores)
	if err != nil {
		return err
	}
	f, err := os.CreateTemp("", "long*.wav")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name())
	if err := audio.WriteWAV(f, take.Clip); err != nil {
		return err
	}
	if err := f.Close(); err != nil {
		return err
	}
	self, err := os.Executable()
	if err != nil {
		return err
	}
	cmd := exec.Command(self, "-alone", f.Name())
	cmd.Stderr = os.Stderr
	out, err := cmd.Output()
	if err != nil {
		return err
	}
	fmt.Printf("peak memory for a take of %.0f s: %s MB (target < 150)\n", take.Clip.Seconds(), strings.TrimSpace(string(out)))
	return nil
}

// hearAlone hears the long take from a file and prints the peak of its own
// memory, the garbage collector set as in the program.
func hearAlone(path string) error {
	debug.SetGCPercent(50)
	pf, err := trial.LongPage()
	if err != nil {
		return err
	}
	r, err := audio.OpenReader(path)
	if err != nil {
		return err
	}
	defer r.Close()
	if _, err := hear.ListenTo(pf, r, hear.Options{}); err != nil {
		return err
	}
	fmt.Println(peakMemory())
	return nil
}

// peakMemory is the most that the process had in memory, in MB, as Linux tells
// it; "unknown" elsewhere.
func peakMemory() string {
	f, err := os.Open("/proc/self/status")
	if err != nil {
		return "unknown"
	}
	defer f.Close()
	for s := bufio.NewScanner(f); s.Scan(); {
		fields := strings.Fields(s.Text())
		if len(fields) > 1 && fields[0] == "VmHWM:" {
			kB, err := strconv.ParseFloat(fields[1], 64)
			if err == nil {
				return fmt.Sprintf("%.0f", kB/1000)
			}
		}
	}
	return "unknown"
}
