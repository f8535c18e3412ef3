package server

import (
	"context"
	"errors"
	"net/http"

	"github.com/danielgtaylor/huma/v2"

	"waterkey/desk"
	"waterkey/paper"
)

// statuses are the answers to the desk's errors.
var statuses = []struct {
	is     error
	status int
}{
	{desk.ErrNotFound, http.StatusNotFound},
	{desk.ErrConflict, http.StatusConflict},
	{desk.ErrInUse, http.StatusConflict},
	{desk.ErrNoChange, http.StatusConflict},
	{desk.ErrIncomplete, http.StatusConflict},
	{desk.ErrInvalid, http.StatusUnprocessableEntity},
	{desk.ErrNotAudio, http.StatusUnsupportedMediaType},
	{desk.ErrTooLarge, http.StatusRequestEntityTooLarge},
	{desk.ErrFull, http.StatusInsufficientStorage},
	{desk.ErrReadOnly, http.StatusInsufficientStorage},
	{paper.ErrNoChromium, http.StatusNotImplemented},
	{context.Canceled, statusClientGone},
}

// statusClientGone answers nobody: the browser has closed the request.
const statusClientGone = 499

// problem is an error of the desk as a problem document. What a user did wrong is
// told in the desk's words; a fault of the program is told as one.
func problem(err error) error {
	for _, s := range statuses {
		if errors.Is(err, s.is) {
			return huma.NewError(s.status, err.Error())
		}
	}
	if desk.IsReadError(err) {
		return huma.NewError(http.StatusUnprocessableEntity, err.Error())
	}
	return huma.NewError(http.StatusInternalServerError, "the program failed: "+err.Error(), err)
}
