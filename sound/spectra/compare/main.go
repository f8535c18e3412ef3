// Compare sets rendered notes beside recorded ones: those of package sound, and those
// of a General MIDI SoundFont as fluidsynth plays them, both measured alike in the
// same run.
//
//	go run ./sound/spectra/compare [-samples FOLDER] [-soundfont FILE]
//
// For each note of the folder it prints the log-spectral distance of both from the
// recording. The table of package sound is made of every second note: only the
// others, which it does not know, count in the means. Without the recordings, the
// program fluidsynth or the SoundFont (Debian: fluidsynth, fluid-soundfont-gm) it says
// what is missing and leaves it out.
package main

import (
	"flag"
	"fmt"
	"os"
	"path/filepath"
	"slices"

	"waterkey/audio"
	"waterkey/score"
	"waterkey/sound"
	"waterkey/sound/spectrum"
)

func main() {
	samples := flag.String("samples", "../shared/data/samples/tenor-trombone", "folder of recorded notes")
	font := flag.String("soundfont", "/usr/share/sounds/sf2/FluidR3_GM.sf2", "SoundFont to set beside them")
	flag.Parse()
	if err := run(*samples, *font); err != nil {
		fmt.Fprintln(os.Stderr, "compare:", err)
		os.Exit(1)
	}
}

// note is one recorded note with what was measured of it.
type note struct {
	file   string
	midi   int
	known  bool // to the table of package sound
	real   []float64
	ours   float64 // distances in dB
	others float64
}

func run(samples, font string) error {
	notes, err := recorded(samples)
	if err != nil {
		return err
	}
	if len(notes) == 0 {
		fmt.Fprintf(os.Stderr, "compare: no recorded notes in %s; nothing is compared\n", samples)
		return nil
	}
	for i := range notes {
		if notes[i].ours, err = ours(notes[i]); err != nil {
			return err
		}
	}
	clip, err := rendered(font, notes)
	if err != nil {
		fmt.Fprintln(os.Stderr, "compare: no SoundFont beside them:", err)
	}
	for i := range notes {
		if clip == nil {
			break
		}
		if notes[i].others, err = distance(notes[i], part(clip, i), clip.Rate); err != nil {
			return fmt.Errorf("%s by the SoundFont: %w", notes[i].file, err)
		}
	}
	print(notes, clip != nil)
	return nil
}

// recorded measures the notes of a folder, whose names hold their MIDI numbers, as in
// TenPos_mf-40-E2.flac.
func recorded(folder string) ([]note, error) {
	files, err := filepath.Glob(filepath.Join(folder, "*.flac"))
	if err != nil {
		return nil, err
	}
	slices.Sort(files)
	var out []note
	for i, file := range files {
		n := note{file: filepath.Base(file), known: i%2 == 0}
		if _, err := fmt.Sscanf(n.file, "TenPos_mf-%d-", &n.midi); err != nil {
			return nil, fmt.Errorf("%s: the name holds no MIDI number: %w", n.file, err)
		}
		clip, err := audio.Open(file)
		if err != nil {
			return nil, err
		}
		if n.real, err = spectrum.Partials(clip.Mono(), float64(clip.Rate), n.hz()); err != nil {
			return nil, fmt.Errorf("%s: %w", n.file, err)
		}
		out = append(out, n)
	}
	return out, nil
}

func (n note) hz() float64 { return score.PitchFromMIDI(n.midi).Hz(sound.DefaultA4) }

// ours is the distance of package sound's note.
func ours(n note) (float64, error) {
	const seconds = 2
	clip := sound.Render([]sound.Tone{{End: seconds, Hz: n.hz()}}, sound.Options{Timbre: &sound.TenorTrombone})
	return distance(n, clip.Channels[0], clip.Rate)
}

func distance(n note, x []float64, rate int) (float64, error) {
	partials, err := spectrum.Partials(x, float64(rate), n.hz())
	if err != nil {
		return 0, err
	}
	return spectrum.Distance(n.real, partials), nil
}

// print writes the table and the means over the notes left out of the table.
func print(notes []note, both bool) {
	fmt.Println("Log-spectral distance from the recorded note, dB (those with * are in the table that package sound holds)")
	fmt.Printf("%-28s %8s %10s\n", "note", "sound", "SoundFont")
	sums, count := [2]float64{}, 0.0
	for _, n := range notes {
		mark := " "
		if n.known {
			mark = "*"
		} else {
			sums[0], sums[1], count = sums[0]+n.ours, sums[1]+n.others, count+1
		}
		fmt.Printf("%-26s %s %8.2f %s\n", n.file, mark, n.ours, other(n.others, both))
	}
	if count > 0 {
		fmt.Printf("%-28s %8.2f %s\n", fmt.Sprintf("mean of %.0f left out", count), sums[0]/count, other(sums[1]/count, both))
	}
}

func other(db float64, there bool) string {
	if !there {
		return fmt.Sprintf("%10s", "-")
	}
	return fmt.Sprintf("%10.2f", db)
}
