package server

import (
	"bytes"
	"context"
	"io"
	"mime"
	"net/http"
	"sync"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"waterkey/desk"
)

type audioRequest struct {
	TakeParams
	As string `query:"as" enum:"original,wav" default:"original"`
}

// audioAnswer writes itself: parts of the recording are asked for one by one.
type audioAnswer struct{ Body func(huma.Context) }

// takeAudio sends a recording to be played, with Range requests (RFC 9110, section
// 14). A recording never changes, so that a browser may keep it.
func (h *handlers) takeAudio(ctx context.Context, in *audioRequest) (*audioAnswer, error) {
	t, err := h.desk.Take(ctx, desk.ID(in.ID))
	if err != nil {
		return nil, err
	}
	if in.As == "wav" {
		data, err := h.waves.get(t.ID, func() ([]byte, error) { return h.desk.TakeWAV(ctx, t) })
		if err != nil {
			return nil, err
		}
		return sendAudio("audio/wav", t.Recording+"-wav", bytes.NewReader(data), nil), nil
	}
	f, err := h.desk.OpenBlob(ctx, t.Recording)
	if err != nil {
		return nil, err
	}
	return sendAudio(t.MediaType, t.Recording, f, f.Close), nil
}

func sendAudio(kind string, tag desk.Hash, content io.ReadSeeker, free func() error) *audioAnswer {
	return &audioAnswer{func(c huma.Context) {
		if free != nil {
			defer free()
		}
		r, w := humago.Unwrap(c)
		w.Header().Set("Content-Type", kind)
		w.Header().Set("ETag", `"`+string(tag)+`"`)
		w.Header().Set("Cache-Control", "private, max-age=31536000, immutable")
		http.ServeContent(w, r, "", time.Time{}, content)
	}}
}

// waves keeps the take that was made into WAV last: a browser asks for it piece by
// piece.
type waves struct {
	mu   sync.Mutex
	id   desk.ID
	data []byte
}

func (v *waves) get(id desk.ID, make func() ([]byte, error)) ([]byte, error) {
	v.mu.Lock()
	defer v.mu.Unlock()
	if v.id == id && v.data != nil {
		return v.data, nil
	}
	data, err := make()
	if err == nil {
		v.id, v.data = id, data
	}
	return data, err
}

func (h *handlers) sendTake(ctx context.Context, in *TakeParams) (*fileAnswer, error) {
	s, err := h.desk.SendTake(ctx, desk.ID(in.ID))
	if err != nil {
		return nil, err
	}
	as := mime.FormatMediaType("attachment", map[string]string{"filename": s.ArchiveName()})
	return &fileAnswer{"application/zip", as, func(w huma.Context) {
		defer s.Close()
		// Once bytes are under way an error can only cut the file short, and a ZIP
		// archive without its end does not open.
		if err := s.Write(w.BodyWriter()); err != nil {
			panic(http.ErrAbortHandler)
		}
	}}, nil
}
