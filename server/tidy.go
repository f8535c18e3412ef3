package server

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"waterkey/desk"
)

// tidyEvery is how often files that nothing needs any more are removed (estimate: a
// desk left open for weeks gathers what was imported and given up). A recording that
// broke off half way is not among them: its other half may still lie in a browser.
const tidyEvery = 24 * time.Hour

// tidy removes them now and then every so often, until the context ends. What undo
// can bring back stays, however old.
func tidy(ctx context.Context, d *desk.Desk, log *slog.Logger, every time.Duration) {
	for {
		done, err := d.Collect(ctx, time.Time{})
		switch {
		case errors.Is(err, desk.ErrInUse): // an export runs: next time
		case err != nil && ctx.Err() == nil:
			log.Error("removing files that nothing needs", "error", err)
		case err == nil && done != desk.Collected{}:
			log.Info("removed what nothing needs", "files", done.Blobs, "bytes", done.Bytes, "uploads", done.Uploads)
		}
		select {
		case <-ctx.Done():
			return
		case <-time.After(every):
		}
	}
}
