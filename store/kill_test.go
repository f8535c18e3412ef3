package store

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"waterkey/desk"
)

func init() { children["write"] = writeForever }

// killedWrites is how many writes a child makes at most before it is killed.
const killedWrites = 200

// answer is what a child reports after a call has returned.
type answer struct {
	Entry    *desk.Entry // of a change, undo or redo
	Blob     *desk.Blob
	Chunk    *desk.Chunk // of the upload below
	Upload   desk.ID
	Finished desk.Hash
}

// TestKilledProgramLosesNothingAnswered kills a writing program (SIGKILL) at a
// random moment and opens its folder again.
func TestKilledProgramLosesNothingAnswered(t *testing.T) {
	const runs = 6
	cut := 0
	for seed := range uint64(runs) {
		folder := t.TempDir()
		answers := killed(t, folder, seed)
		s := openAt(t, folder, Options{})
		checkAnswers(t, s, answers)
		checkLog(t, s)
		if found := must(s.Check(ctx))(t); len(found) > 0 {
			t.Errorf("seed %d: %v", seed, found)
		}
		if len(answers) < killedWrites {
			cut++
		}
		t.Logf("seed %d: killed after %d answered writes", seed, len(answers))
		s.Close()
	}
	if cut == 0 {
		t.Error("no child was killed before its end: the test shows nothing")
	}
}

// killed runs a child and kills it after a random number of answers and a random
// while; it returns all that was answered.
func killed(t *testing.T, folder string, seed uint64) []answer {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 1))
	child := exec.Command(os.Args[0], folder, strconv.FormatUint(seed, 10))
	child.Env = append(os.Environ(), childVariable+"=write")
	child.Stderr = os.Stderr
	out, err := child.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := child.Start(); err != nil {
		t.Fatal(err)
	}
	after, wait := r.IntN(killedWrites), time.Duration(r.IntN(3000))*time.Microsecond
	var answers []answer
	for lines := bufio.NewReader(out); ; {
		line, err := lines.ReadString('\n')
		if err != nil {
			break // a line cut short was not an answer
		}
		var a answer
		if err := json.Unmarshal([]byte(line), &a); err != nil {
			t.Fatalf("child: %q: %v", line, err)
		}
		if answers = append(answers, a); len(answers) == after {
			time.AfterFunc(wait, func() { _ = child.Process.Kill() })
		}
	}
	if err := child.Wait(); err != nil && !strings.Contains(err.Error(), "signal: killed") {
		t.Fatalf("the child ended by itself: %v", err)
	}
	return answers
}

// checkAnswers looks for everything that was answered.
func checkAnswers(t *testing.T, s *Season, answers []answer) {
	t.Helper()
	entries := map[desk.Revision]*desk.Entry{}
	for _, e := range must(s.History(ctx, desk.Sheet{}, 0, 0))(t) {
		entries[e.Revision] = e
	}
	for _, a := range answers {
		switch {
		case a.Entry != nil:
			if diff := cmp.Diff(a.Entry, entries[a.Entry.Revision]); diff != "" {
				t.Errorf("answered -, found +\n%s", diff)
			}
		case a.Blob != nil:
			f, err := s.OpenBlob(ctx, a.Blob.Hash)
			if err != nil {
				t.Fatal(err)
			}
			f.Close()
		case a.Chunk != nil:
			u := must(s.Upload(ctx, a.Upload))(t)
			if held, err := alreadyHeld(u, *a.Chunk); !held || err != nil {
				t.Errorf("chunk %d of %s is lost (%v)", a.Chunk.Sequence, a.Upload, err)
			}
			if u.Recording == "" {
				must(s.chunk(a.Upload, *a.Chunk))(t)
			}
		default:
			if u := must(s.Upload(ctx, a.Upload))(t); u.Recording != a.Finished {
				t.Errorf("upload %s is not finished", a.Upload)
			}
		}
	}
}

// writeForever is the child: every kind of write, each reported once it returned.
func writeForever(folder string) {
	seed, err := strconv.ParseUint(os.Args[2], 10, 64)
	if err != nil {
		panic(err)
	}
	s, err := Open(ctx, folder, Options{})
	if err != nil {
		panic(err)
	}
	w := &childWriter{s: s, r: rand.New(rand.NewPCG(seed, 2)), out: json.NewEncoder(os.Stdout)}
	w.start()
	for range killedWrites {
		w.write()
	}
}

type childWriter struct {
	s      *Season
	r      *rand.Rand
	out    *json.Encoder
	sheet  desk.Sheet
	upload desk.ID
	chunks int
}

func (w *childWriter) report(a answer, err error) {
	if errors.Is(err, desk.ErrNoChange) {
		return
	}
	if err == nil {
		err = w.out.Encode(a)
	}
	if err != nil {
		panic(err)
	}
}

func (w *childWriter) put(lasting bool, records ...desk.Record) {
	c := desk.Change{Sheet: w.sheet, Lasting: lasting}
	for _, r := range records {
		c.Edits = append(c.Edits, desk.Put(r))
	}
	e, err := w.s.Commit(ctx, c)
	w.report(answer{Entry: e}, err)
}

func (w *childWriter) blob() desk.Hash {
	b, err := w.s.AddBlob(ctx, strings.NewReader(strings.Repeat(fmt.Sprint(w.r.Int()), 1+w.r.IntN(5000))), 1<<20)
	w.report(answer{Blob: &b}, err)
	return b.Hash
}

func (w *childWriter) start() {
	w.sheet = desk.Sheet{Part: "harbor", Player: "anna"}
	w.put(true, aPlayer("anna"), aPart("harbor", w.blob()))
}

func (w *childWriter) write() {
	switch w.r.IntN(7) {
	case 0, 1:
		w.put(false, aFix("", "harbor", "anna", fmt.Sprint("n", w.r.Int()), "6"), aFix("", "harbor", "anna", fmt.Sprint("n", w.r.Int()), "1"))
	case 2:
		e, err := w.s.Undo(ctx, w.sheet, "coach")
		w.report(answer{Entry: e}, err)
	case 3:
		e, err := w.s.Redo(ctx, w.sheet, "coach")
		w.report(answer{Entry: e}, err)
	case 4:
		w.put(false, aTake("", "harbor", "anna", w.blob(), time.Unix(w.r.Int64N(1<<31), 0)))
	default:
		w.chunk()
	}
}

// chunk sends a chunk of an upload, or finishes it after some.
func (w *childWriter) chunk() {
	if w.upload == "" {
		u, err := w.s.StartUpload(ctx, desk.Upload{Sheet: w.sheet})
		if err != nil {
			panic(err)
		}
		w.upload, w.chunks = u.ID, 0
	}
	if w.chunks > w.r.IntN(8) {
		b, err := w.s.FinishUpload(ctx, w.upload, w.chunks)
		w.report(answer{Upload: w.upload, Finished: b.Hash}, err)
		w.upload = ""
		return
	}
	data := strings.Repeat(fmt.Sprint(w.r.Int()), 500)
	c := chunkOf(w.chunks, data)
	w.report(answer{Upload: w.upload, Chunk: &c}, w.s.AddChunk(ctx, w.upload, c, strings.NewReader(data)))
	w.chunks++
}

// chunkOf describes a chunk as a sender does.
func chunkOf(sequence int, data string) desk.Chunk {
	sum := sha256.Sum256([]byte(data))
	return desk.Chunk{Sequence: sequence, Hash: desk.Hash(hex.EncodeToString(sum[:])), Size: int64(len(data))}
}
