package server

import (
	"context"
	"encoding/base64"
	"encoding/hex"
	"io"
	"net/http"
	"strings"
	"time"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"waterkey/desk"
)

// registerUploads lists the operations that bring a recording.
func registerUploads(api huma.API, h *handlers) {
	get(api, "uploads", "/api/uploads", "Recordings that are still arriving, and how large they may be", h.uploads)
	post(api, "begin-upload", "/api/uploads", "Begin to send a recording in chunks, or go on with one", h.beginUpload)
	get(api, "upload", "/api/uploads/{id}", "What has arrived of a recording", h.upload)
	addStream(api, http.MethodPut, "add-chunk", "/api/uploads/{id}/chunks/{sequence}", "Send a chunk of a recording", h.addChunk)
	post(api, "finish-upload", "/api/uploads/{id}/finish", "Join the chunks into a take", h.finishUpload)
	drop(api, "drop-upload", "/api/uploads/{id}", "Give up a recording that is still arriving", h.dropUpload)
	addStream(api, http.MethodPost, "add-take", "/api/takes", "Send a whole recording, of sound or of sound and picture", h.addTake)
}

// Stream is a body that is read as it comes: too large for the memory, and slow
// where it comes from a microphone.
type Stream struct {
	body io.Reader
	size int64 // bytes announced; -1 for unknown
}

// Resolve takes the body from the request.
func (s *Stream) Resolve(c huma.Context) []error {
	r, w := humago.Unwrap(c)
	_ = http.NewResponseController(w).SetReadDeadline(time.Time{}) // where there is none, there is none to lift
	s.body, s.size = r.Body, r.ContentLength
	return nil
}

// addStream registers an operation with a Stream.
func addStream[I, O any](api huma.API, method, id, path, summary string, h handler[I, O]) {
	binary := map[string]*huma.MediaType{"*/*": {Schema: &huma.Schema{Type: "string", Format: "binary"}}}
	add(api, huma.Operation{OperationID: id, Method: method, Path: path, Summary: summary,
		RequestBody: &huma.RequestBody{Required: true, Content: binary}}, h)
}

type uploadsAnswer struct {
	Body struct {
		Uploads       []*desk.Upload `json:"uploads"`
		MaxTakeBytes  int64          `json:"max_take_bytes"`
		MaxChunkBytes int64          `json:"max_chunk_bytes"`
	}
}

func (h *handlers) uploads(ctx context.Context, _ *none) (*uploadsAnswer, error) {
	out := &uploadsAnswer{}
	var err error
	out.Body.Uploads, err = h.desk.Uploads(ctx)
	out.Body.MaxTakeBytes, out.Body.MaxChunkBytes = h.desk.MaxTake(), desk.MaxChunkBytes
	return out, err
}

type beginUploadRequest struct {
	Body struct {
		ID        desk.ID `json:"id,omitempty" doc:"the page's own name for the recording, so that it can go on after a break; made here when empty"`
		Part      desk.ID `json:"part"`
		Player    desk.ID `json:"player"`
		FileName  string  `json:"file_name"`
		MediaType string  `json:"media_type,omitempty"`
	}
}

type uploadAnswer struct{ Body *desk.Upload }

func (h *handlers) beginUpload(ctx context.Context, in *beginUploadRequest) (*uploadAnswer, error) {
	b := in.Body
	sheet := desk.Sheet{Part: b.Part, Player: b.Player}
	u, err := h.desk.BeginTake(ctx, desk.Upload{ID: b.ID, Sheet: sheet, FileName: b.FileName, MediaType: b.MediaType})
	if err != nil {
		return nil, err
	}
	h.jobs.warm(sheet)
	return &uploadAnswer{u}, nil
}

// UploadParams names an upload.
type UploadParams struct {
	ID string `path:"id"`
}

func (h *handlers) upload(ctx context.Context, in *UploadParams) (*uploadAnswer, error) {
	u, err := h.desk.Upload(ctx, desk.ID(in.ID))
	return &uploadAnswer{u}, err
}

func (h *handlers) dropUpload(ctx context.Context, in *UploadParams) (*none, error) {
	return &none{}, h.desk.DropUpload(ctx, desk.ID(in.ID))
}

type chunkRequest struct {
	UploadParams
	Sequence int    `path:"sequence" minimum:"0" doc:"from 0, in any order"`
	Digest   string `header:"Content-Digest" required:"true" doc:"SHA-256 of the chunk as RFC 9530 has it: sha-256=:base64:"`
	Stream
}

func (h *handlers) addChunk(ctx context.Context, in *chunkRequest) (*none, error) {
	hash, err := contentDigest(in.Digest)
	if err != nil {
		return nil, err
	}
	if in.size < 0 {
		return nil, &desk.SeasonError{Is: desk.ErrInvalid, Text: "the chunk has no Content-Length; send it whole"}
	}
	c := desk.Chunk{Sequence: in.Sequence, Hash: hash, Size: in.size}
	return &none{}, h.desk.AddTakeChunk(ctx, desk.ID(in.ID), c, in.body)
}

// contentDigest reads the SHA-256 of a Content-Digest field (RFC 9530).
func contentDigest(field string) (desk.Hash, error) {
	for _, member := range strings.Split(field, ",") {
		name, value, _ := strings.Cut(strings.TrimSpace(member), "=")
		if name != "sha-256" || len(value) < 2 || value[0] != ':' || value[len(value)-1] != ':' {
			continue
		}
		sum, err := base64.StdEncoding.DecodeString(value[1 : len(value)-1])
		if hash := desk.Hash(hex.EncodeToString(sum)); err == nil && hash.Validate() == nil {
			return hash, nil
		}
	}
	return "", &desk.SeasonError{Is: desk.ErrInvalid, Text: "the Content-Digest holds no SHA-256; want sha-256=:base64 of 32 bytes:"}
}

type finishRequest struct {
	UploadParams
	Body struct {
		Chunks   int       `json:"chunks" minimum:"1" doc:"how many there are"`
		Recorded time.Time `json:"recorded,omitzero" doc:"when, with the zone of the place; now when absent"`
		BPM      float64   `json:"bpm,omitempty" doc:"of the count-in, in felt beats a minute; 0 not known"`
		Note     string    `json:"note,omitempty"`
		Decoded  *struct {
			Upload desk.ID `json:"upload"`
			Chunks int     `json:"chunks" minimum:"1"`
		} `json:"decoded,omitempty" doc:"another upload, with what the browser decoded of a file that the program cannot, as WAV"`
	}
}

func (h *handlers) finishUpload(ctx context.Context, in *finishRequest) (*takeAnswer, error) {
	b := in.Body
	t := &desk.Take{Recorded: b.Recorded, BPM: b.BPM, Note: b.Note}
	if b.Decoded != nil {
		blob, err := h.desk.FinishUpload(ctx, b.Decoded.Upload, b.Decoded.Chunks)
		if err != nil {
			return nil, err
		}
		t.Decoded = blob.Hash
	}
	t, err := h.desk.FinishTake(ctx, desk.ID(in.ID), b.Chunks, t)
	if err != nil {
		return nil, err
	}
	return h.listenSoon(ctx, t)
}

type addTakeRequest struct {
	Part     string    `query:"part" required:"true"`
	Player   string    `query:"player" required:"true"`
	File     string    `query:"file" required:"true" doc:"the file's name"`
	Recorded time.Time `query:"recorded" doc:"when, with the zone of the place; now when absent"`
	BPM      float64   `query:"bpm" minimum:"0" maximum:"1000"`
	Type     string    `header:"Content-Type"`
	Stream
}

func (h *handlers) addTake(ctx context.Context, in *addTakeRequest) (*takeAnswer, error) {
	if err := h.desk.CheckTakeSize(in.size); err != nil {
		return nil, err
	}
	sheet := desk.Sheet{Part: desk.ID(in.Part), Player: desk.ID(in.Player)}
	h.jobs.warm(sheet)
	blob, err := h.desk.AddBlob(ctx, in.body, h.desk.MaxTake())
	if err != nil {
		return nil, err
	}
	t, err := h.desk.AddTake(ctx, &desk.Take{Sheet: sheet, Recorded: in.Recorded, BPM: in.BPM,
		Recording: blob.Hash, FileName: in.File, MediaType: in.Type})
	if err != nil {
		return nil, err
	}
	return h.listenSoon(ctx, t)
}

// listenSoon has a new take measured next.
func (h *handlers) listenSoon(ctx context.Context, t *desk.Take) (*takeAnswer, error) {
	h.jobs.hurry(t.ID)
	c, err := h.takeCard(ctx, t, nil)
	return &takeAnswer{c}, err
}
