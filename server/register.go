package server

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"waterkey/desk"
)

// handler is an operation of the API.
type handler[I, O any] func(context.Context, *I) (*O, error)

// maxBodyBytes bounds a JSON request (estimate, far above a page of remarks).
const maxBodyBytes = 1 << 20

func get[I, O any](api huma.API, id, path, summary string, h handler[I, O]) {
	add(api, huma.Operation{OperationID: id, Method: http.MethodGet, Path: path, Summary: summary}, h)
}

func post[I, O any](api huma.API, id, path, summary string, h handler[I, O]) {
	add(api, huma.Operation{OperationID: id, Method: http.MethodPost, Path: path, Summary: summary, MaxBodyBytes: maxBodyBytes}, h)
}

func put[I, O any](api huma.API, id, path, summary string, h handler[I, O]) {
	add(api, huma.Operation{OperationID: id, Method: http.MethodPut, Path: path, Summary: summary, MaxBodyBytes: maxBodyBytes}, h)
}

func drop[I, O any](api huma.API, id, path, summary string, h handler[I, O]) {
	add(api, huma.Operation{OperationID: id, Method: http.MethodDelete, Path: path, Summary: summary}, h)
}

// upload takes a file as the whole body.
func upload[I, O any](api huma.API, id, path, summary string, h handler[I, O]) {
	add(api, huma.Operation{OperationID: id, Method: http.MethodPost, Path: path, Summary: summary,
		MaxBodyBytes: desk.MaxDocumentBytes, BodyReadTimeout: -1}, h)
}

// add registers an operation whose errors become problem documents.
func add[I, O any](api huma.API, op huma.Operation, h handler[I, O]) {
	huma.Register(api, op, func(ctx context.Context, in *I) (*O, error) {
		out, err := h(ctx, in)
		if err != nil {
			return nil, problem(err)
		}
		return out, nil
	})
}
