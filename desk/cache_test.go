package desk

import (
	"errors"
	"fmt"
	"sync"
	"sync/atomic"
	"testing"
)

func TestCacheComputesOnce(t *testing.T) {
	var c cache
	var computed atomic.Int32
	var all sync.WaitGroup
	for range 20 {
		all.Go(func() {
			if _, err := c.get("a", func() (*Prepared, error) { computed.Add(1); return &Prepared{}, nil }); err != nil {
				t.Error(err)
			}
		})
	}
	all.Wait()
	if n := computed.Load(); n != 1 {
		t.Errorf("computed %d times", n)
	}
}

func TestCacheKeepsNoError(t *testing.T) {
	var c cache
	torn := errors.New("torn")
	if _, err := c.get("a", func() (*Prepared, error) { return nil, torn }); err != torn {
		t.Errorf("%v", err)
	}
	if p, err := c.get("a", func() (*Prepared, error) { return &Prepared{}, nil }); err != nil || p == nil {
		t.Errorf("%v, %v; want it computed anew", p, err)
	}
}

func TestCacheDropsWhatWasUsedLongestAgo(t *testing.T) {
	var c cache
	computed := ""
	ask := func(key string) {
		_, _ = c.get(key, func() (*Prepared, error) { computed = key; return &Prepared{}, nil })
	}
	for i := range cachedSheets {
		ask(fmt.Sprint(i))
	}
	ask("0") // used again
	ask("new")
	computed = ""
	if ask("0"); computed != "" {
		t.Error("what was used last is gone")
	}
	if ask("1"); computed != "1" {
		t.Error("what was used longest ago is kept")
	}
}
