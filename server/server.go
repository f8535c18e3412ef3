// Package server is the HTTP side of the desk: an API under /api/ that speaks
// JSON, described by OpenAPI from the handlers' own types, and the pages that use
// it. Errors are problem documents (RFC 9457) whose detail a user understands;
// what the desk calls not found, changed elsewhere and so on becomes a status
// here and nowhere else.
//
// The server is for the people at one machine. It answers requests to a loopback
// name only, and only with the cookie that the first page sets for the token that
// the program prints (see guard.go).
package server

import (
	"io/fs"
	"log/slog"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"

	"waterkey/desk"
)

// Config says what a server serves.
type Config struct {
	Desk  *desk.Desk
	Pages fs.FS // the front end, with index.html; nil for the API alone
	// Engraver is served in place of the front end's folder verovio/; nil for its own.
	Engraver fs.FS
	Token    string       // what the first address carries; not empty
	Log      *slog.Logger // nil for none
	// Chromium is the browser to print with; "" for the one installed.
	Chromium string
}

// version of the API in its description.
const version = "1"

// Server is the whole server. Close it before the season that it serves.
type Server struct {
	http.Handler
	jobs  *jobs
	press *press
}

// Close ends the measuring of takes, and the printing. What is left to measure is
// found again at the next start.
func (s *Server) Close() {
	s.press.close()
	s.jobs.close()
}

// New is a server, which measures takes from now on.
func New(c Config) *Server {
	if c.Log == nil {
		c.Log = slog.New(slog.DiscardHandler)
	}
	mux := http.NewServeMux()
	h := &handlers{desk: c.Desk, jobs: newJobs(c.Desk, c.Log), press: newPress(c.Pages, c.Chromium)}
	register(newAPI(mux), h)
	if c.Pages != nil {
		mux.Handle("GET /", pages(c.Pages, c.Engraver))
	} else {
		mux.HandleFunc("GET /{$}", func(w http.ResponseWriter, _ *http.Request) {
			http.Error(w, "this program was built without its pages; build it with: make", http.StatusNotFound)
		})
	}
	h.jobs.start()
	return &Server{logged(c.Log, guard(c.Token, mux)), h.jobs, h.press}
}

// newAPI is an API without documentation pages: those would load from elsewhere.
func newAPI(mux *http.ServeMux) huma.API {
	config := huma.DefaultConfig("Waterkey", version)
	config.OpenAPIPath = "/api/openapi"
	config.DocsPath, config.SchemasPath = "", ""
	config.CreateHooks = nil // no $schema fields in the answers
	return humago.New(mux, config)
}

// Description is the API as an OpenAPI document, from which the front end's client
// is made.
func Description() *huma.OpenAPI {
	api := newAPI(http.NewServeMux())
	register(api, &handlers{})
	return api.OpenAPI()
}

// handlers are the desk's use cases as the API has them.
type handlers struct {
	desk  *desk.Desk
	jobs  *jobs
	press *press
	waves waves
}

// register lists every operation.
func register(api huma.API, h *handlers) {
	get(api, "season", "/api/season", "Everything on the desk", h.season)
	post(api, "add-player", "/api/players", "Add a player", h.addPlayer)
	put(api, "put-player", "/api/players/{id}", "Change a player", h.putPlayer)
	drop(api, "delete-player", "/api/players/{id}", "Remove a player", h.deletePlayer)
	upload(api, "add-part", "/api/parts", "Add a dropped page", h.addPart)
	put(api, "put-part", "/api/parts/{id}", "Change a part's title, date or tempo", h.putPart)
	drop(api, "delete-part", "/api/parts/{id}", "Remove a part", h.deletePart)
	get(api, "sheet", "/api/sheet", "A part before a player, with everything computed", h.sheet)
	get(api, "score", "/api/sheet/score", "The part to engrave, as MusicXML", h.score)
	post(api, "set-mark", "/api/marks", "Write a mark on a sheet", h.setMark)
	drop(api, "delete-mark", "/api/marks/{id}", "Take a mark away", h.deleteMark)
	post(api, "undo", "/api/undo", "Take back the last change of a sheet", h.undo)
	post(api, "redo", "/api/redo", "Make the last undone change again", h.redo)
	get(api, "export", "/api/export", "The whole season as one archive", h.export)
	upload(api, "import", "/api/import", "Fill an empty season from an archive", h.importSeason)
	registerSound(api, h)
	registerUploads(api, h)
	registerTakes(api, h)
	registerPractice(api, h)
	registerPaper(api, h)
}
