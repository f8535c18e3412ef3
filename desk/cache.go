package desk

import "sync"

// cachedSheets is how many sheets are kept computed: those of a lesson (estimate;
// each takes a few MB).
const cachedSheets = 32

// cache keeps the sheets used last. It may be used from several goroutines; two
// that want the same sheet compute it once.
type cache struct {
	mu    sync.Mutex
	items map[string]*cached
	turn  int // counts uses
}

type cached struct {
	once sync.Once
	used int
	p    *Computed
	err  error
}

// Computed is a prepared part that keeps its documents, for all who ask for them.
type Computed struct {
	*Prepared
	read func() ReadDocument
	mark func() MarkDocument
}

func newComputed(p *Prepared) *Computed {
	return &Computed{p, sync.OnceValue(p.Read), sync.OnceValue(p.Mark)}
}

// Read is [Prepared.Read], to be left as it is.
func (c *Computed) Read() ReadDocument { return c.read() }

// Mark is [Prepared.Mark], to be left as it is.
func (c *Computed) Mark() MarkDocument { return c.mark() }

// get is the sheet under a key, computed when it is not there. An error is given
// to all who waited and not kept.
func (c *cache) get(key string, compute func() (*Prepared, error)) (*Computed, error) {
	item := c.item(key)
	item.once.Do(func() {
		var p *Prepared
		if p, item.err = compute(); item.err == nil {
			item.p = newComputed(p)
		}
	})
	if item.err != nil {
		c.mu.Lock()
		if c.items[key] == item {
			delete(c.items, key)
		}
		c.mu.Unlock()
	}
	return item.p, item.err
}

func (c *cache) item(key string) *cached {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.items == nil {
		c.items = map[string]*cached{}
	}
	item, ok := c.items[key]
	if !ok {
		if len(c.items) >= cachedSheets {
			c.dropOldest()
		}
		item = &cached{}
		c.items[key] = item
	}
	c.turn++
	item.used = c.turn
	return item
}

func (c *cache) dropOldest() {
	oldest, at := "", c.turn+1
	for key, item := range c.items {
		if item.used < at {
			oldest, at = key, item.used
		}
	}
	delete(c.items, oldest)
}
