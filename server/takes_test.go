package server

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"

	"waterkey/audio"
	"waterkey/demo"
	"waterkey/desk"
)

// demoTake is the demo take as a WAV file: six planted faults.
func demoTake(t testing.TB) []byte {
	t.Helper()
	clip, err := demo.Take()
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := audio.WriteWAV(&b, clip); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// sheet is the march before one player.
func (b *bench) sheet() (part, player desk.ID) {
	b.Helper()
	return b.addMarch(), b.addPlayer(desk.Player{Name: "Ada", Instrument: "tenor-f", Level: 4})
}

// chunk sends one piece of a recording.
func (b *bench) chunk(id string, sequence int, data []byte, sum [32]byte, status int) string {
	b.Helper()
	req, err := http.NewRequest("PUT", fmt.Sprintf("%s/api/uploads/%s/chunks/%d", b.url, id, sequence), bytes.NewReader(data))
	if err != nil {
		b.Fatal(err)
	}
	req.Header.Set("Content-Digest", "sha-256=:"+base64.StdEncoding.EncodeToString(sum[:])+":")
	res, err := b.http.Do(req)
	if err != nil {
		b.Fatal(err)
	}
	defer res.Body.Close()
	text, err := io.ReadAll(res.Body)
	if err != nil || res.StatusCode != status {
		b.Fatalf("chunk %d: status %d, want %d: %s", sequence, res.StatusCode, status, text)
	}
	return string(text)
}

// measuredTake waits until a take is measured or has failed.
func (b *bench) measuredTake(id desk.ID) takeCard {
	b.Helper()
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		c := as[takeCard](b, b.ask("GET", "/api/takes/"+string(id), nil, http.StatusOK))
		if c.State == stateMeasured || c.State == stateFailed {
			return c
		}
	}
	b.Fatal("not measured within a minute")
	return takeCard{}
}

// From the microphone to the archive that is sent: chunks out of order, one twice,
// measured, listed, chosen, exported with every byte as it was recorded.
func TestFromChunksToTheSentTake(t *testing.T) {
	b := newBench(t)
	part, player := b.sheet()
	wav := demoTake(t)
	upload := as[desk.Upload](b, b.ask("POST", "/api/uploads",
		toJSON(b, map[string]any{"part": part, "player": player, "file_name": "take 1.wav", "media_type": "audio/wav"}), http.StatusOK))
	const size = 1 << 20
	count := (len(wav) + size - 1) / size
	for i := count - 1; i >= 0; i-- {
		piece := wav[i*size : min((i+1)*size, len(wav))]
		if i == 0 {
			b.chunk(string(upload.ID), i, piece, sha256.Sum256(wav), http.StatusUnprocessableEntity) // not what was announced
		}
		b.chunk(string(upload.ID), i, piece, sha256.Sum256(piece), http.StatusNoContent)
		if i == 1 {
			b.chunk(string(upload.ID), i, piece, sha256.Sum256(piece), http.StatusNoContent)
			b.chunk(string(upload.ID), i, piece, sha256.Sum256(wav), http.StatusConflict)
		}
	}
	finish := func(chunks, status int) []byte {
		return b.ask("POST", "/api/uploads/"+string(upload.ID)+"/finish", toJSON(b, map[string]any{"chunks": chunks}), status)
	}
	finish(count+1, http.StatusConflict)
	take := as[takeCard](b, finish(count, http.StatusOK))

	card := b.measuredTake(take.ID)
	if card.State != stateMeasured || card.Measured == nil || len(card.Measured.RuleOut) > 0 {
		t.Fatalf("%+v %+v", card, card.Measured)
	}
	sum := sha256.Sum256(wav)
	if got := fmt.Sprint(card.Recording); got != fmt.Sprintf("%x", sum) {
		t.Errorf("recording %s, want %x", got, sum)
	}
	heard := string(b.ask("GET", "/api/takes/"+string(take.ID)+"/heard", nil, http.StatusOK))
	if !strings.Contains(heard, "B\u266d3 sounds where B3 is written") && !strings.Contains(heard, "B♭3 sounds where B3 is written") {
		t.Errorf("the planted wrong note is not told")
	}
	list := as[struct{ Takes []takeCard }](b, b.ask("GET", "/api/takes?part="+string(part)+"&player="+string(player), nil, http.StatusOK))
	if len(list.Takes) != 1 || list.Takes[0].ID != take.ID {
		t.Errorf("%d takes", len(list.Takes))
	}
	if got := b.ask("GET", "/api/takes/"+string(take.ID)+"/audio", nil, http.StatusOK); !bytes.Equal(got, wav) {
		t.Errorf("%d bytes of audio, want the %d that were recorded", len(got), len(wav))
	}
	chosen := as[takeCard](b, b.ask("PUT", "/api/takes/"+string(take.ID)+"/chosen", toJSON(b, map[string]any{"revision": card.Revision, "chosen": true}), http.StatusOK))
	b.ask("PUT", "/api/takes/"+string(take.ID)+"/chosen", toJSON(b, map[string]any{"revision": card.Revision, "chosen": false}), http.StatusConflict)
	if !chosen.Chosen {
		t.Error("not chosen")
	}
	checkArchive(t, b.ask("GET", "/api/takes/"+string(take.ID)+"/export", nil, http.StatusOK), wav)
}

// checkArchive holds what is sent to what was recorded.
func checkArchive(t *testing.T, data, wav []byte) {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	found, sheet := false, false
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		found = found || bytes.Equal(body, wav)
		sheet = sheet || bytes.Contains(body, fmt.Appendf(nil, "%x", sha256.Sum256(wav)))
	}
	if !found || !sheet {
		t.Errorf("original there: %v, its hash on a check sheet: %v", found, sheet)
	}
}

// What is no recording, or one of something else, is told and never measured as if.
func TestRecordingsThatWillNotDo(t *testing.T) {
	b := newBench(t)
	part, player := b.sheet()
	add := func(name string, data []byte, status int) []byte {
		return b.ask("POST", "/api/takes?part="+string(part)+"&player="+string(player)+"&file="+name, data, status)
	}
	if got := string(add("notes.txt", []byte("not a recording at all"), http.StatusUnsupportedMediaType)); !strings.Contains(got, "notes.txt") && !strings.Contains(got, "recording") {
		t.Errorf("text: %s", got)
	}
	noise := &audio.Clip{Rate: 48000, Channels: [][]float64{make([]float64, 48000*3)}}
	var silent bytes.Buffer
	if err := audio.WriteWAV(&silent, noise); err != nil {
		t.Fatal(err)
	}
	take := as[takeCard](b, add("silence.wav", silent.Bytes(), http.StatusOK))
	if card := b.measuredTake(take.ID); card.State == stateMeasured && len(card.Measured.RuleOut) == 0 {
		t.Errorf("silence was measured: %+v", card.Measured)
	} else if card.State == stateFailed && card.Reason == "" {
		t.Error("no reason is given")
	}
	b.ask("POST", "/api/takes?part="+string(part)+"&player=nobody&file=a.wav", silent.Bytes(), http.StatusNotFound)
	b.desk.TakeLimit = 1000
	if got := string(add("long.wav", silent.Bytes(), http.StatusRequestEntityTooLarge)); !strings.Contains(got, "MiB") {
		t.Errorf("too large: %s", got)
	}
}

func TestTrendAndRemoval(t *testing.T) {
	b := newBench(t)
	part, player := b.sheet()
	take := as[takeCard](b, b.ask("POST", "/api/takes?part="+string(part)+"&player="+string(player)+"&file=a.wav&recorded=2026-11-20T18:00:00%2B01:00", demoTake(t), http.StatusOK))
	card := b.measuredTake(take.ID)
	trend := func() int {
		return len(as[struct{ Points []json.RawMessage }](b, b.ask("GET", "/api/trend?part="+string(part)+"&player="+string(player), nil, http.StatusOK)).Points)
	}
	if n := trend(); n != 1 {
		t.Errorf("%d points, want 1", n)
	}
	b.ask("DELETE", fmt.Sprintf("/api/takes/%s?revision=%d", take.ID, card.Revision), nil, http.StatusNoContent)
	if n := trend(); n != 0 {
		t.Errorf("%d points after removal", n)
	}
}

// A recording goes on where it stopped when the program was started anew.
func TestUploadGoesOnAfterARestart(t *testing.T) {
	folder := t.TempDir()
	b, stop := benchIn(t, folder)
	part, player := b.sheet()
	wav := demoTake(t)
	half := len(wav) / 2
	upload := as[desk.Upload](b, b.ask("POST", "/api/uploads",
		toJSON(b, map[string]any{"part": part, "player": player, "file_name": "take.wav", "media_type": "audio/wav"}), http.StatusOK))
	b.chunk(string(upload.ID), 0, wav[:half], sha256.Sum256(wav[:half]), http.StatusNoContent)
	stop()

	b, stop = benchIn(t, folder)
	defer stop()
	held := as[desk.Upload](b, b.ask("GET", "/api/uploads/"+string(upload.ID), nil, http.StatusOK))
	if len(held.Chunks) != 1 || held.Chunks[0].Size != int64(half) {
		t.Fatalf("%+v is held, want the first half", held.Chunks)
	}
	b.chunk(string(upload.ID), 1, wav[half:], sha256.Sum256(wav[half:]), http.StatusNoContent)
	finish := func() takeCard {
		return as[takeCard](b, b.ask("POST", "/api/uploads/"+string(upload.ID)+"/finish", toJSON(b, map[string]any{"chunks": 2}), http.StatusOK))
	}
	take := finish()
	if got := fmt.Sprint(take.Recording); got != fmt.Sprintf("%x", sha256.Sum256(wav)) {
		t.Errorf("the recording is %s", got)
	}
	if again := finish(); again.ID != take.ID {
		t.Errorf("finished twice: %s and %s", take.ID, again.ID)
	}
}

// A take of another part fails with the reason, whatever it was sent for.
func TestTakeOfAnotherPart(t *testing.T) {
	b := newBench(t)
	_, player := b.sheet()
	song, err := demo.Open("lantern-song.musicxml")
	if err != nil {
		t.Fatal(err)
	}
	part := as[partCard](b, b.ask("POST", "/api/parts?file=lantern-song.musicxml", song, http.StatusOK)).ID
	take := as[takeCard](b, b.ask("POST", "/api/takes?part="+string(part)+"&player="+string(player)+"&file=a.wav", demoTake(t), http.StatusOK))
	if card := b.measuredTake(take.ID); card.State != stateFailed || !strings.Contains(card.Reason, "does not sound like that part") {
		t.Errorf("%s: %s", card.State, card.Reason)
	}
}
