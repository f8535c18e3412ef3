package paper

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"sync"
	"time"

	"github.com/chromedp/chromedp"
)

// Printer is a Chromium without a window, with the engraver loaded once it has
// been used. It may be used from several goroutines; it prints one order at a
// time.
type Printer struct {
	mu      sync.Mutex
	tab     context.Context
	profile string
	server  *loopback
	closing sync.Once
}

// Times (estimates, for a slow machine under load): a start of the browser with its
// engraver, and an order of the longest part.
const (
	startTimeout = 90 * time.Second
	orderTimeout = 3 * time.Minute
	closeTimeout = 10 * time.Second
)

// Open starts a browser on the built front end. [Find] says where the browser is.
func Open(chromium string, pages fs.FS) (*Printer, error) {
	if pages == nil {
		return nil, errors.New("this program was built without its front end, which engraves; build it with make")
	}
	if _, err := fs.Stat(pages, "print.html.gz"); err != nil {
		return nil, errors.New("the front end in this program is older than the program; build it anew with make")
	}
	profile, err := os.MkdirTemp("", "waterkey-print-")
	if err != nil {
		return nil, err
	}
	p := &Printer{profile: profile}
	if p.server, err = newLoopback(pages); err != nil {
		_ = p.Close()
		return nil, err
	}
	alloc, _ := chromedp.NewExecAllocator(context.Background(), options(chromium, profile)...)
	p.tab, _ = chromedp.NewContext(alloc)
	if err := p.start(); err != nil {
		_ = p.Close()
		return nil, fmt.Errorf("%s does not start: %w", chromium, err)
	}
	return p, nil
}

func options(chromium, profile string) []chromedp.ExecAllocatorOption {
	out := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(chromium), chromedp.UserDataDir(profile), chromedp.DisableGPU,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-component-update", true))
	if os.Geteuid() == 0 {
		out = append(out, chromedp.NoSandbox) // the sandbox refuses to run as root
	}
	return out
}

// start opens the page. The browser itself must not run under a timeout: it would
// end with it.
func (p *Printer) start() error {
	if err := chromedp.Do(p.tab); err != nil {
		return err
	}
	ctx, cancel := context.WithTimeout(p.tab, startTimeout)
	defer cancel()
	return chromedp.Do(ctx, chromedp.Navigate(p.server.base+"/print.html"))
}

// Printed is what came of an order.
type Printed struct {
	Data  []byte
	Pages int // of paper; 0 for a guide
}

// PDF prints an order.
func (p *Printer) PDF(ctx context.Context, o Order) (Printed, error) {
	return do(ctx, p, o, func(tab context.Context, url string) (out Printed, err error) {
		if out.Pages, err = call[int](tab, "sheets", url); err != nil {
			return out, err
		}
		out.Data, err = chromedp.Run(tab, chromedp.PrintToPDF(chromedp.PDFMargin(0), chromedp.PDFPrintBackground(), chromedp.PDFPreferCSSPageSize()))
		return out, err
	})
}

// Guide makes the guide of an order: the bytes of one HTML file.
func (p *Printer) Guide(ctx context.Context, o Order) (Printed, error) {
	return do(ctx, p, o, func(tab context.Context, url string) (Printed, error) {
		text, err := call[string](tab, "guide", url)
		return Printed{Data: []byte(text)}, err
	})
}

// do hands an order to the page.
func do(ctx context.Context, p *Printer, o Order, work func(tab context.Context, url string) (Printed, error)) (Printed, error) {
	doc, err := o.document()
	if err != nil {
		return Printed{}, err
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	tab, cancel := context.WithTimeout(p.tab, orderTimeout)
	defer cancel()
	defer context.AfterFunc(ctx, cancel)()
	url, remove := p.server.put(doc)
	defer remove()
	out, err := work(tab, url)
	if err != nil && ctx.Err() != nil {
		err = ctx.Err()
	}
	if err != nil {
		return Printed{}, fmt.Errorf("cannot lay out %s: %w", o.title(), err)
	}
	return out, nil
}

// call runs a function of the page on a job.
func call[T any](tab context.Context, name, url string) (T, error) {
	return chromedp.Run(tab, chromedp.Evaluate[T](fmt.Sprintf("paper.%s(%q)", name, url), chromedp.EvalAwaitPromise))
}

// Ended says whether the browser has ended, by itself or by Close: it prints no more.
func (p *Printer) Ended() bool { return p.tab.Err() != nil }

// Close ends the browser and takes away what it left. Closed again it does nothing.
func (p *Printer) Close() (err error) {
	p.closing.Do(func() { err = p.close() })
	return err
}

func (p *Printer) close() error {
	var err error
	if p.tab != nil {
		ctx, cancel := context.WithTimeout(p.tab, closeTimeout)
		err = chromedp.Cancel(ctx)
		cancel()
	}
	if p.server != nil {
		err = errors.Join(err, p.server.http.Close())
	}
	return errors.Join(err, os.RemoveAll(p.profile))
}
