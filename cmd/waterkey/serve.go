package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"sync"
	"syscall"
	"time"

	"github.com/spf13/cobra"

	"waterkey/desk"
	"waterkey/server"
	"waterkey/store"
	"waterkey/web"
)

// serveFlags are those of serve and demo.
type serveFlags struct {
	addr, data string
	from       string // an archive to start from
	port       int    // taken when no address is named and it is free
	engraver   string // folder, "" for the program's own
	chromium   string // to print with, "" for the one installed
	noOpen     bool
	verbose    bool
}

// importSeason reads an archive into a season that is still empty.
func importSeason(ctx context.Context, season *store.Season, path string) error {
	file, err := os.Open(path)
	if err != nil {
		return err
	}
	defer file.Close()
	info, err := file.Stat()
	if err != nil {
		return err
	}
	if err := season.Import(ctx, file, info.Size()); err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	return nil
}

// Home ports of the two desks. A browser keeps what it remembers of a page by port:
// folded lanes, the dark room, what it has engraved (any free numbers would do).
const servePort, demoPort = 8617, 8618

func (f *serveFlags) add(c *cobra.Command, data string, port int) {
	c.Flags().StringVar(&f.addr, "addr", "", fmt.Sprintf("address to listen on (default 127.0.0.1:%d, or any port when that is taken); port 0 takes a free one", port))
	f.port = port
	c.Flags().StringVar(&f.data, "data", data, "folder that keeps the season")
	c.Flags().StringVar(&f.from, "from", "", "fill the folder, which must be empty, from an archive saved before")
	c.Flags().BoolVar(&f.noOpen, "no-open", false, "do not open a browser")
	c.Flags().StringVar(&f.engraver, "verovio-dir", "", "folder with verovio.mjs and verovio-module.mjs to engrave with instead of the program's own")
	c.Flags().StringVar(&f.chromium, "chromium", "", "the Chromium to print with (default: the one installed)")
	c.Flags().BoolVar(&f.verbose, "verbose", false, "log every request to standard error")
}

func serveCommand() *cobra.Command {
	var f serveFlags
	c := &cobra.Command{
		Use: "serve", Short: "Open the desk in the browser", Args: wants(cobra.NoArgs),
		RunE: func(c *cobra.Command, _ []string) error { return f.serve(c, nil) },
	}
	f.add(c, seasonFolder("season"), servePort)
	return c
}

func demoCommand() *cobra.Command {
	var f serveFlags
	var bare bool
	c := &cobra.Command{
		Use: "demo", Short: "Open the desk with an invented season on it", Args: wants(cobra.NoArgs),
		RunE: func(c *cobra.Command, _ []string) error {
			return f.serve(c, &takeMaker{notes: web.Notes(), folder: &f.data, bare: bare, stderr: c.ErrOrStderr()})
		},
	}
	c.Flags().BoolVar(&bare, "no-takes", false, "leave the recorded takes out")
	f.add(c, seasonFolder("demo"), demoPort)
	return c
}

// seasonFolder is where a user's data belongs on this system; in the folder of the
// program where the system does not say.
func seasonFolder(name string) string {
	base, err := os.UserConfigDir()
	if err != nil {
		return filepath.Join(".", "waterkey-data", name)
	}
	return filepath.Join(base, "waterkey", name)
}

// filler puts something on an empty desk, and goes on while the desk is open until
// its context ends.
type filler interface {
	fill(ctx context.Context, d *desk.Desk) error
	goOn(ctx context.Context, d *desk.Desk, measure func(desk.ID))
}

// serve runs until it is interrupted. The filler may be nil.
func (f *serveFlags) serve(c *cobra.Command, fill filler) error {
	engraver, err := f.engraverFiles()
	if err != nil {
		return err
	}
	ctx, stop := signal.NotifyContext(c.Context(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	season, err := store.Open(ctx, f.data, store.Options{})
	if err != nil {
		return err
	}
	defer season.Close()
	if f.from != "" {
		if err := importSeason(ctx, season, f.from); err != nil {
			return err
		}
	}
	d := desk.New(season)
	if fill != nil {
		if err := fill.fill(ctx, d); err != nil {
			return fmt.Errorf("filling the demo season: %w", err)
		}
	}
	listener, err := f.listen()
	if err != nil {
		return err
	}
	token := rand.Text()
	h := server.New(server.Config{Desk: d, Pages: web.Pages(), Engraver: engraver, Token: token, Chromium: f.chromium, Log: f.logger(c.ErrOrStderr())})
	defer h.Close()
	address := fmt.Sprintf("http://%s/?token=%s", listener.Addr(), token)
	fmt.Fprintln(c.OutOrStdout(), address)
	if !f.noOpen {
		openBrowser(address)
	}
	if fill != nil {
		var behind sync.WaitGroup
		behind.Go(func() { fill.goOn(ctx, d, h.Measure) })
		defer behind.Wait()
		defer stop()
	}
	return serveOn(ctx, listener, h)
}

// engraverFiles are those of the folder that was named, if one was.
func (f *serveFlags) engraverFiles() (fs.FS, error) {
	if f.engraver == "" {
		return nil, nil
	}
	files := os.DirFS(f.engraver)
	for _, name := range []string{"verovio.mjs", "verovio-module.mjs"} {
		if _, err := fs.Stat(files, name); err != nil {
			return nil, usage(fmt.Errorf("--verovio-dir %s: %w; name the folder dist of the npm package verovio", f.engraver, err))
		}
	}
	return files, nil
}

// listen takes the address that was named; else the home port, or any when another
// program has that.
func (f *serveFlags) listen() (net.Listener, error) {
	if f.addr != "" {
		return listen(f.addr)
	}
	if l, err := listen(fmt.Sprintf("127.0.0.1:%d", f.port)); err == nil {
		return l, nil
	}
	return listen("127.0.0.1:0")
}

// listen takes loopback addresses only: the desk has no accounts.
func listen(addr string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, usage(fmt.Errorf("--addr %s: want an address and a port, such as 127.0.0.1:8080", addr))
	}
	if ip := net.ParseIP(host); host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return nil, usage(fmt.Errorf("--addr %s: the desk is for this machine alone; use 127.0.0.1, [::1] or localhost", addr))
	}
	l, err := net.Listen("tcp", addr)
	if err != nil {
		return nil, fmt.Errorf("cannot listen on %s: %w; --addr 127.0.0.1:0 takes a free port", addr, err)
	}
	return l, nil
}

// Times of the server (estimates): a request that brings a page comes over
// loopback; a stop waits for what is under way.
const (
	headerTimeout = 10 * time.Second
	stopTimeout   = 5 * time.Second
)

// serveOn serves until the context ends, then lets requests finish.
func serveOn(ctx context.Context, l net.Listener, h http.Handler) error {
	s := &http.Server{Handler: h, ReadHeaderTimeout: headerTimeout}
	done := make(chan error, 1)
	go func() { done <- s.Serve(l) }()
	select {
	case err := <-done:
		return err
	case <-ctx.Done():
	}
	stop, cancel := context.WithTimeout(context.WithoutCancel(ctx), stopTimeout)
	defer cancel()
	if err := s.Shutdown(stop); err != nil {
		_ = s.Close()
	}
	if err := <-done; !errors.Is(err, http.ErrServerClosed) {
		return err
	}
	return nil
}

func (f *serveFlags) logger(w io.Writer) *slog.Logger {
	level := slog.LevelWarn
	if f.verbose {
		level = slog.LevelInfo
	}
	return slog.New(slog.NewTextHandler(w, &slog.HandlerOptions{Level: level}))
}

// openBrowser tries to show an address; that it was printed is enough where it
// cannot.
func openBrowser(address string) {
	name := map[string]string{"darwin": "open", "windows": "explorer"}[runtime.GOOS]
	if name == "" {
		name = "xdg-open"
	}
	_ = exec.Command(name, address).Start()
}
