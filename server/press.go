package server

import (
	"context"
	"errors"
	"io/fs"
	"sync"

	"waterkey/paper"
)

// press is the printer of a server: a browser that starts when the first page is
// asked for and stays. One order is laid out at a time; the others wait, as long as
// whoever asked does. It may be used from several goroutines.
type press struct {
	pages    fs.FS
	chromium string // "" for the one installed

	turn    chan struct{} // holds the only turn while nobody prints
	mu      sync.Mutex
	printer *paper.Printer // nil before the first order, and after the browser ended
	closed  bool
}

func newPress(pages fs.FS, chromium string) *press {
	p := &press{pages: pages, chromium: chromium, turn: make(chan struct{}, 1)}
	p.turn <- struct{}{}
	return p
}

// errClosed answers who still waits when the server ends.
var errClosed = errors.New("the program is ending; print again when it runs")

func (p *press) pdf(ctx context.Context, o paper.Order) (paper.Printed, error) {
	return p.print(ctx, func(to *paper.Printer) (paper.Printed, error) { return to.PDF(ctx, o) })
}

func (p *press) guide(ctx context.Context, o paper.Order) (paper.Printed, error) {
	return p.print(ctx, func(to *paper.Printer) (paper.Printed, error) { return to.Guide(ctx, o) })
}

// print waits for its turn. An order that fails as the browser has ended meanwhile is
// given to a new one, once.
func (p *press) print(ctx context.Context, work func(*paper.Printer) (paper.Printed, error)) (paper.Printed, error) {
	select {
	case <-ctx.Done():
		return paper.Printed{}, ctx.Err()
	case <-p.turn:
	}
	defer func() { p.turn <- struct{}{} }()
	printer, err := p.open()
	if err != nil {
		return paper.Printed{}, err
	}
	out, err := work(printer)
	if err == nil || ctx.Err() != nil || !printer.Ended() {
		return out, err
	}
	if printer, err = p.open(); err != nil {
		return paper.Printed{}, err
	}
	return work(printer)
}

// open is the printer, started if it is not running.
func (p *press) open() (*paper.Printer, error) {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.closed {
		return nil, errClosed
	}
	if p.printer != nil && !p.printer.Ended() {
		return p.printer, nil
	}
	p.end()
	path, err := paper.Find(p.chromium)
	if err != nil {
		return nil, err
	}
	p.printer, err = paper.Open(path, p.pages)
	return p.printer, err
}

// close ends the browser.
func (p *press) close() {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.closed = true
	p.end()
}

// end lets the printer go. The caller holds mu.
func (p *press) end() {
	if p.printer != nil {
		_ = p.printer.Close() // whatever it leaves behind, nobody can mend it here
		p.printer = nil
	}
}
