package server

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"slices"
	"sync"

	"waterkey/desk"
)

// workers is how many takes are measured at once: a take is measured on one core in
// a fraction of a second a minute, and the pages want one too (estimate).
const workers = 2

// takeState is how far the measuring of a take is.
type takeState string

// The states. A failed take either could not be held against the page, which its
// measure says, or the program could not measure it for now.
const (
	stateQueued    takeState = "queued"
	stateMeasuring takeState = "measuring"
	stateMeasured  takeState = "measured"
	stateFailed    takeState = "failed"
)

// jobs measures takes in the background. Nothing of it is kept: what is to be done
// follows from the takes that have no measure of the current version. It may be
// used from several goroutines.
type jobs struct {
	desk   *desk.Desk
	log    *slog.Logger
	ctx    context.Context
	cancel context.CancelFunc
	done   sync.WaitGroup

	mu    sync.Mutex
	wake  *sync.Cond
	queue []desk.ID // next first
	state map[desk.ID]job
}

// job is a take in the queue, in work, or given up.
type job struct {
	state  takeState
	share  float64 // done, 0 to 1
	reason string  // of a failure
}

func newJobs(d *desk.Desk, log *slog.Logger) *jobs {
	j := &jobs{desk: d, log: log, state: map[desk.ID]job{}}
	j.wake = sync.NewCond(&j.mu)
	j.ctx, j.cancel = context.WithCancel(context.Background())
	return j
}

// start begins to work, first on what an earlier run left, and to tidy up.
func (j *jobs) start() {
	for range workers {
		j.done.Go(j.work)
	}
	j.done.Go(func() { tidy(j.ctx, j.desk, j.log, tidyEvery) })
	j.done.Go(func() {
		left, err := j.desk.Unmeasured(j.ctx, desk.Sheet{})
		if err != nil && j.ctx.Err() == nil {
			j.log.Error("looking for takes to measure", "error", err)
		}
		for _, id := range left {
			j.want(id)
		}
	})
}

// close ends the work and waits for it.
func (j *jobs) close() {
	j.mu.Lock()
	j.cancel()
	j.wake.Broadcast()
	j.mu.Unlock()
	j.done.Wait()
}

// warm prepares the page of a sheet whose recording begins to arrive.
func (j *jobs) warm(s desk.Sheet) {
	j.mu.Lock()
	defer j.mu.Unlock()
	if j.ctx.Err() == nil { // the wait of close has not begun
		j.done.Go(func() { j.desk.WarmSheet(j.ctx, s) })
	}
}

// want has a take measured after those that wait already. One that is under way, or
// was given up, is left alone.
func (j *jobs) want(id desk.ID) { j.enqueue(id, false) }

// hurry has a take measured next, also one that was given up: somebody waits for it.
func (j *jobs) hurry(id desk.ID) { j.enqueue(id, true) }

func (j *jobs) enqueue(id desk.ID, first bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	now, known := j.state[id]
	switch {
	case now.state == stateMeasuring, known && !first:
		return
	case now.state == stateQueued:
		j.queue = slices.DeleteFunc(j.queue, func(q desk.ID) bool { return q == id })
	}
	j.state[id] = job{state: stateQueued}
	if first {
		j.queue = slices.Insert(j.queue, 0, id)
	} else {
		j.queue = append(j.queue, id)
	}
	j.wake.Signal()
}

// look is how far a take is; false when it is neither waiting, nor in work, nor
// given up.
func (j *jobs) look(id desk.ID) (job, bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	s, ok := j.state[id]
	return s, ok
}

// work measures one take after the other.
func (j *jobs) work() {
	for {
		id, ok := j.next()
		if !ok {
			return
		}
		err := j.measure(id)
		j.mu.Lock()
		if err == nil || errors.Is(err, desk.ErrNotFound) { // deleted meanwhile
			delete(j.state, id)
		} else {
			j.state[id] = job{state: stateFailed, reason: err.Error()}
		}
		j.mu.Unlock()
		if err != nil && j.ctx.Err() == nil {
			j.log.Error("measuring a take", "take", id, "error", err)
		}
	}
}

// next waits for a take to measure; false at the end.
func (j *jobs) next() (desk.ID, bool) {
	j.mu.Lock()
	defer j.mu.Unlock()
	for len(j.queue) == 0 && j.ctx.Err() == nil {
		j.wake.Wait()
	}
	if j.ctx.Err() != nil {
		return "", false
	}
	id := j.queue[0]
	j.queue = j.queue[1:]
	j.state[id] = job{state: stateMeasuring}
	return id, true
}

// measure measures one take. A fault of the program on one recording must not end
// the others' measuring.
func (j *jobs) measure(id desk.ID) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("the program failed on this recording: %v", p)
		}
	}()
	_, err = j.desk.MeasureTake(j.ctx, id, func(share float64) {
		j.mu.Lock()
		defer j.mu.Unlock()
		j.state[id] = job{state: stateMeasuring, share: share}
	})
	return err
}
