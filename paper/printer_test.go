package paper

import (
	"os"
	"path/filepath"
	"sync"
	"testing"

	"waterkey/brass"
	"waterkey/demo"
	"waterkey/desk"
	"waterkey/player"
	"waterkey/web"
)

// shared is one browser for all tests, as a server would keep it.
var shared = sync.OnceValues(func() (*Printer, error) {
	path, err := Find("")
	if err != nil {
		return nil, err
	}
	return Open(path, web.Pages())
})

func TestMain(m *testing.M) {
	code := m.Run()
	if web.Pages() != nil {
		if p, err := shared(); err == nil {
			_ = p.Close()
		}
	}
	os.Exit(code)
}

// printer is the browser, or the test is skipped where there is none.
func printer(t testing.TB) *Printer {
	t.Helper()
	if testing.Short() {
		t.Skip("browser tests are left out of short runs")
	}
	if web.Pages() == nil {
		t.Skip("front end not built: run make web to test printing")
	}
	if _, err := Find(""); err != nil {
		t.Skip("no Chromium found: install the package chromium to test printing")
	}
	p, err := shared()
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// demoOrder is a part of the demo season.
func demoOrder(t testing.TB, name string) Order {
	t.Helper()
	data, err := demo.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	return order(t, desk.Request{Path: name, Data: data})
}

func order(t testing.TB, r desk.Request) Order {
	t.Helper()
	var err error
	if r.Horn == nil {
		if r.Horn, err = brass.Named(brass.Default); err != nil {
			t.Fatal(err)
		}
	}
	r.Level = player.DefaultLevel
	p, err := desk.Prepare(r)
	if err != nil {
		t.Fatal(err)
	}
	return Order{Prepared: p}
}

// realParts are ten parts of an open data set (Hauptstimme and StringQuartets,
// CC0-1.0), of all kinds.
var realParts = []struct{ file, horn string }{
	{"bruckner-wab-105-1-bass-trombone", "bass"},
	{"beethoven-op-67-4-alto-trombone", "alto"},
	{"brahms-op-45-1-trombone-1", "tenor-f"},
	{"brahms-op-73-4-tuba", "tuba-f"},
	{"haydn-op20no5-violoncello", "tenor-f"},
	{"brahms-op-90-4-trombone-1", "tenor-f"},
	{"beach-op-32-1-bass-trombone", "bass"},
	{"bruckner-wab-105-3a-scherzo-tenor-trombone", "tenor"},
	{"beethoven-op-60-4-bassoon-1", "tenor-f"},
	{"brahms-op-73-2-trombone-1", "tenor-f"},
}

func realOrder(t testing.TB, file, horn string) Order {
	t.Helper()
	path := filepath.Join("..", "..", "shared", "data", "scores", file+".musicxml")
	if _, err := os.Stat(path); err != nil {
		t.Skipf("shared data not here: %v", err)
	}
	in, err := brass.Named(horn)
	if err != nil {
		t.Fatal(err)
	}
	return order(t, desk.Request{Path: path, Horn: in})
}
