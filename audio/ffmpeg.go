package audio

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"strconv"
	"strings"
	"time"
)

// maxForeignTime bounds a run of the outside program: a day of AAC at 300
// times real time takes five minutes (estimate).
const maxForeignTime = 15 * time.Minute

// findFFmpeg is where the program lies; tests put others in its place.
var findFFmpeg = func() (string, error) { return exec.LookPath("ffmpeg") }

// ffmpeg is a running program that decodes a recording to its standard output.
type ffmpeg struct {
	cmd    *exec.Cmd
	cancel context.CancelFunc
	said   tail
	free   func() error // of a temporary copy
	ended  bool
	err    error // of the program, once it ended
}

// throughFFmpeg decodes a recording with the ffmpeg on this machine.
func throughFFmpeg(f *foreign, in *input) (*source, error) {
	program, err := findFFmpeg()
	if err != nil {
		return nil, fmt.Errorf("%w, which needs the program ffmpeg: install it (ffmpeg.org, or the system's packages) and try again, or save the recording as WAV, FLAC or MP3", f)
	}
	path, free, err := in.file()
	if err != nil {
		return nil, fmt.Errorf("%w: %w", f, err)
	}
	p := &ffmpeg{free: free}
	src, err := p.start(program, f.demuxer, path)
	if err != nil {
		p.close()
		return nil, fmt.Errorf("%w, and ffmpeg cannot read it: %w", f, p.reason(err))
	}
	src.format, src.close = "converted", p.close
	return src, nil
}

// arguments of the program. The container is named and only files may be
// opened, so that no content makes it fetch anything; "file:" keeps odd names
// from being read as options or addresses.
func arguments(demuxer, path string) []string {
	return []string{
		"-nostdin", "-hide_banner", "-loglevel", "error",
		"-protocol_whitelist", "file", "-f", demuxer, "-i", "file:" + path,
		"-map", "0:a:0", "-vn", "-sn", "-dn", "-map_metadata", "-1", "-t", strconv.Itoa(maxSeconds + 1),
		"-c:a", "pcm_f32le", "-bitexact", "-f", "wav", "-protocol_whitelist", "pipe", "pipe:1",
	}
}

func (p *ffmpeg) start(program, demuxer, path string) (*source, error) {
	ctx, cancel := context.WithTimeout(context.Background(), maxForeignTime)
	p.cancel = cancel
	p.cmd = exec.CommandContext(ctx, program, arguments(demuxer, path)...)
	p.cmd.Stderr = &p.said
	p.cmd.WaitDelay = time.Second
	out, err := p.cmd.StdoutPipe()
	if err != nil {
		return nil, err
	}
	if err := p.cmd.Start(); err != nil {
		p.ended = true
		return nil, err
	}
	br := bufio.NewReaderSize(out, 1<<16)
	src, err := openWAV(br)
	if err != nil {
		return nil, err
	}
	decoded := src.next
	src.next = func() ([][]float64, error) {
		block, err := decoded()
		if errors.Is(err, io.EOF) && p.wait() != nil {
			return nil, fmt.Errorf("%w (%w)", io.ErrUnexpectedEOF, p.reason(p.err))
		}
		return block, err
	}
	return src, nil
}

// wait waits for the program's end and keeps its error.
func (p *ffmpeg) wait() error {
	if !p.ended {
		p.err, p.ended = p.cmd.Wait(), true
	}
	return p.err
}

// close stops the program and removes a temporary copy.
func (p *ffmpeg) close() error {
	if p.cancel != nil {
		p.cancel()
		p.wait()
	}
	return p.free()
}

// reason is what the program said last, or err when it said nothing.
func (p *ffmpeg) reason(err error) error {
	if s := strings.TrimSpace(string(p.said.text)); s != "" {
		lines := strings.Split(s, "\n")
		return errors.New(lines[len(lines)-1])
	}
	return err
}

// tail keeps the last bytes written to it.
type tail struct{ text []byte }

func (t *tail) Write(p []byte) (int, error) {
	const kept = 4096
	t.text = append(t.text, p...)
	if len(t.text) > 2*kept {
		t.text = bytes.Clone(t.text[len(t.text)-kept:])
	}
	return len(p), nil
}
