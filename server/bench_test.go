package server

import (
	"io"
	"net/http"
	"slices"
	"sync"
	"testing"
	"time"

	"waterkey/desk"
)

// BenchmarkFiftyClients prints how long calls take when fifty people work at once:
// each opens sheets, reads the season and pins notes by turns.
func BenchmarkFiftyClients(b *testing.B) {
	const clients, turns = 50, 8
	bench := newBench(b)
	part := bench.addMarch()
	player := bench.addPlayer(desk.Player{Name: "Ada", Instrument: "tenor-f", Level: 4})
	sheet := "/api/sheet?part=" + string(part) + "&player=" + string(player)
	paths := []string{sheet, "/api/season", sheet + "&bpm=90", "/api/sheet/score?part=" + string(part)}
	for b.Loop() {
		took := make([][]time.Duration, clients)
		var all sync.WaitGroup
		for c := range clients {
			all.Go(func() {
				for turn := range turns {
					took[c] = append(took[c], bench.time(paths[(c+turn)%len(paths)]))
				}
			})
		}
		all.Wait()
		flat := slices.Concat(took...)
		slices.Sort(flat)
		b.ReportMetric(float64(flat[len(flat)/2].Microseconds())/1000, "median-ms")
		b.ReportMetric(float64(flat[len(flat)*95/100].Microseconds())/1000, "p95-ms")
	}
}

// time is how long a call takes until its answer is read.
func (b *bench) time(path string) time.Duration {
	start := time.Now()
	res, err := b.http.Get(b.url + path)
	if err != nil {
		b.Error(err)
		return 0
	}
	defer res.Body.Close()
	if _, err := io.Copy(io.Discard, res.Body); err != nil || res.StatusCode != http.StatusOK {
		b.Errorf("%s: status %d, %v", path, res.StatusCode, err)
	}
	return time.Since(start)
}
