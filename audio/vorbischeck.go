package audio

import (
	"bytes"
	"errors"
	"fmt"
)

// Bounds of a Vorbis setup header. The decoder allocates what a header claims
// and runs on where a header ends, so the claims are checked before it sees
// them. Encoders' code books have some thousand entries of at most 16 values
// (estimate, with much to spare).
const (
	maxEntries = 1 << 16
	maxValues  = 1 << 20
)

// checkVorbis walks the first header and the code books of the third (Vorbis I
// specification, sections 3.2.1 and 4.2).
func checkVorbis(head, setup []byte) error {
	if len(head) < 30 {
		return errors.New("its Vorbis header is too short")
	}
	if err := checkShape(int(le32(head[12:])), int(head[11])); err != nil {
		return err
	}
	if short, long := head[28]&15, head[28]>>4; short < 6 || short > long || long > 13 {
		return fmt.Errorf("its Vorbis blocks have 2^%d and 2^%d samples, 2^6 to 2^13 are right", short, long)
	}
	if !bytes.HasPrefix(setup, []byte(setupHeader)) {
		return errors.New("its Vorbis code books are missing")
	}
	b := &bits{data: setup[len(setupHeader):]}
	values := 0
	for range b.read(8) + 1 {
		n, err := b.codeBook()
		if err != nil {
			return err
		}
		if values += n; values > maxValues {
			return errors.New("its Vorbis code books are too large")
		}
	}
	return nil
}

// bits reads numbers from their lowest bit on.
type bits struct {
	data []byte
	at   int // bit
}

// read returns the next n bits, at most 32; beyond the end they are 0.
func (b *bits) read(n int) int {
	v := 0
	for i := range n {
		if at := b.at + i; at/8 < len(b.data) {
			v |= int(b.data[at/8]>>(at%8)&1) << i
		}
	}
	b.at += n
	return v
}

func (b *bits) ended() bool { return b.at > 8*len(b.data) }

var errCodeBook = errors.New("a Vorbis code book makes no sense")

// codeBook passes over one code book and returns how many values it holds.
func (b *bits) codeBook() (values int, err error) {
	const sync = 0x564342
	if b.read(24) != sync {
		return 0, errCodeBook
	}
	dimensions, entries := b.read(16), b.read(24)
	if entries < 1 || entries > maxEntries || dimensions < 1 {
		return 0, errCodeBook
	}
	if err := b.lengths(entries); err != nil {
		return 0, err
	}
	kind := b.read(4)
	if kind == 0 {
		return entries, nil
	}
	b.read(32)
	b.read(32)
	width := b.read(4) + 1
	b.read(1)
	stored := entries * dimensions
	if kind == 1 {
		stored = roots(entries, dimensions)
	}
	if kind > 2 || entries*dimensions > maxValues {
		return 0, errCodeBook
	}
	b.at += stored * width
	if b.ended() {
		return 0, errCodeBook
	}
	return entries * dimensions, nil
}

// lengths passes over the code word lengths of a code book.
func (b *bits) lengths(entries int) error {
	if b.read(1) == 0 {
		sparse := b.read(1) == 1
		for range entries {
			if !sparse || b.read(1) == 1 {
				b.read(5)
			}
		}
	} else {
		b.read(5)
		for left := entries; left > 0; {
			n := b.read(bitsFor(left))
			if n > left || b.ended() {
				return errCodeBook
			}
			left -= n
		}
	}
	if b.ended() {
		return errCodeBook
	}
	return nil
}

// bitsFor is the number of bits that hold n.
func bitsFor(n int) int {
	k := 0
	for ; n > 0; n >>= 1 {
		k++
	}
	return k
}

// roots is the greatest r with r^dimensions no more than entries.
func roots(entries, dimensions int) int {
	r := 1
	for power(r+1, dimensions, entries) <= entries {
		r++
	}
	return r
}

// power is base^exponent, or anything above limit when it passes it.
func power(base, exponent, limit int) int {
	p := 1
	for range exponent {
		if p *= base; p > limit {
			break
		}
	}
	return p
}
