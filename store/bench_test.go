package store

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strconv"
	"sync/atomic"
	"testing"
	"time"

	"waterkey/desk"
)

// BenchmarkCommit is one answered change of one mark, on disk.
func BenchmarkCommit(b *testing.B) {
	for _, unsynced := range []bool{false, true} {
		b.Run(fmt.Sprintf("unsynced=%v", unsynced), func(b *testing.B) {
			s := openAt(b, b.TempDir(), Options{Unsynced: unsynced})
			sheet := furnish(b, s)
			n := 0
			for b.Loop() {
				n++
				commit(b, s, sheet, aFix("", sheet.Part, sheet.Player, strconv.Itoa(n), "6"))
			}
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "writes/s")
		})
	}
}

// BenchmarkCommitAtOnce is the same from 50 clients.
func BenchmarkCommitAtOnce(b *testing.B) {
	s := openAt(b, b.TempDir(), Options{})
	sheet := furnish(b, s)
	var n atomic.Int64
	b.SetParallelism(25)
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			mark := aFix("", sheet.Part, sheet.Player, fmt.Sprint(n.Add(1)), "6")
			if _, err := s.Commit(ctx, desk.Change{Sheet: sheet, Edits: []desk.Edit{desk.Put(mark)}}); err != nil {
				b.Error(err)
			}
		}
	})
	b.ReportMetric(float64(n.Load())/b.Elapsed().Seconds(), "writes/s")
}

// BenchmarkUndo goes back and forth over a sheet with a long log.
func BenchmarkUndo(b *testing.B) {
	s := openNew(b)
	sheet := furnish(b, s)
	for i := range 2000 {
		commit(b, s, sheet, aFix("", sheet.Part, sheet.Player, strconv.Itoa(i), "6"))
	}
	for b.Loop() {
		must(s.Undo(ctx, sheet, "coach"))(b)
		must(s.Redo(ctx, sheet, "coach"))(b)
	}
}

// takeBytes is a take of two minutes, mono, 48 kHz, 24 bits.
const takeBytes = 120 * 48_000 * 3

func BenchmarkAddBlob(b *testing.B) {
	s := openAt(b, b.TempDir(), Options{})
	data := noise(takeBytes)
	b.SetBytes(takeBytes)
	n := 0
	for b.Loop() {
		n++
		copy(data, fmt.Sprint(n)) // never the same
		must(s.AddBlob(ctx, bytes.NewReader(data), takeBytes))(b)
	}
}

func BenchmarkOpenBlob(b *testing.B) {
	s := openNew(b)
	blob := must(s.AddBlob(ctx, bytes.NewReader(noise(takeBytes)), takeBytes))(b)
	b.Run("first", func(b *testing.B) {
		b.SetBytes(takeBytes)
		for b.Loop() {
			s.blobs.verified.Clear()
			must(s.OpenBlob(ctx, blob.Hash))(b).Close()
		}
	})
	b.Run("again", func(b *testing.B) {
		for b.Loop() {
			must(s.OpenBlob(ctx, blob.Hash))(b).Close()
		}
	})
}

func noise(n int) []byte {
	r := rand.New(rand.NewPCG(1, 2))
	data := make([]byte, n)
	for i := range data {
		data[i] = byte(r.Uint32())
	}
	return data
}

// BenchmarkTenThousandTakes lists them, opens the season that has them, and
// exports it.
func BenchmarkTenThousandTakes(b *testing.B) {
	const count, together = 10_000, 500
	folder := b.TempDir()
	s := openAt(b, folder, Options{Unsynced: true})
	sheet := furnish(b, s)
	recording := must(s.Take(ctx, "t1"))(b).Recording
	for i := 0; i < count; i += together {
		var takes []desk.Record
		for j := range together {
			takes = append(takes, aTake("", sheet.Part, sheet.Player, recording, time.Unix(int64(i+j)*3600, 0)))
		}
		commit(b, s, sheet, takes...)
	}
	b.Run("list", func(b *testing.B) {
		for b.Loop() {
			if got := must(s.Takes(ctx, desk.TakeQuery{}))(b); len(got) <= count {
				b.Fatal(len(got))
			}
		}
	})
	b.Run("newest-50", func(b *testing.B) {
		for b.Loop() {
			must(s.Takes(ctx, desk.TakeQuery{Sheet: sheet, Limit: 50}))(b)
		}
	})
	b.Run("export", func(b *testing.B) {
		for b.Loop() {
			b.SetBytes(int64(len(export(b, s))))
		}
	})
	b.Run("open", func(b *testing.B) {
		s.Close()
		for b.Loop() {
			must(Open(ctx, folder, Options{}))(b).Close()
		}
	})
}
