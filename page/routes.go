package page

import (
	"context"
	"net/http"

	"github.com/danielgtaylor/huma/v2"
	"github.com/danielgtaylor/huma/v2/adapters/humago"
)

// routes says what is answered where.
func (s *Server) routes() {
	config := huma.DefaultConfig("Bandwright", "1")
	config.OpenAPIPath, config.DocsPath, config.SchemasPath = "", "", "" // the contract is kept beside the source
	config.CreateHooks = nil                                             // no $schema in answers
	config.Transformers = []huma.Transformer{asProblem}
	config.Components.Schemas = huma.NewMapRegistry("#/components/schemas/", schemaName)
	s.api = humago.New(s.mux, config)
	s.contract()
	serve(s.api, http.MethodGet, "/api/jobs", "the jobs of the folder", s.list)
	serve(s.api, http.MethodPost, "/api/jobs", "a new job from the answers to the questions", s.create)
	serve(s.api, http.MethodGet, "/api/questions", "the questions that make a new job", s.questions)
	serve(s.api, http.MethodGet, "/api/jobs/{id}", "a job", s.open)
	serve(s.api, http.MethodPut, "/api/jobs/{id}", "keep a text of a job; 409 where it was changed meanwhile", s.save)
	serve(s.api, http.MethodPost, "/api/jobs/{id}/duplicate", "a copy of a job", s.duplicate)
	serve(s.api, http.MethodPost, "/api/jobs/{id}/archive", "put a job away", s.archive)
	serve(s.api, http.MethodPost, "/api/jobs/{id}/restore", "take a job back out", s.restore)
	serve(s.api, http.MethodPost, "/api/edit", "a text with changes; nothing is kept", s.edit)
	serve(s.api, http.MethodPost, "/api/curve/understand", "what a curve file is taken for; nothing is kept", s.understand)
	serve(s.api, http.MethodPost, "/api/curve/write", "the curve file that a take of a recording makes; nothing is kept", s.writeCurve)
	serve(s.api, http.MethodGet, "/api/jobs/{id}/recordings", "the recordings beside a job", s.recordings)
	s.mux.HandleFunc("POST /api/ask/{question}", s.answer)
	s.mux.HandleFunc("POST /api/keep/{question}", s.keep)
	s.mux.HandleFunc("DELETE /api/asked/{id}", s.stopWork)
	s.mux.HandleFunc("GET /api/jobs/{id}/files/{name}", s.file)
	s.mux.HandleFunc("PUT /api/jobs/{id}/files/{name}", s.saveFile)
	s.mux.HandleFunc(keepRecording, s.keepRecording)
	s.mux.HandleFunc("GET /api/takes/{id}/wav", s.takesRecording)
	s.mux.HandleFunc("GET /api/sheet/{id}/{form}", s.sheet)
	s.mux.HandleFunc("GET /api/record/{id}/{form}", s.record)
	s.mux.HandleFunc("GET /api/metal/{id}/{what}/{form}", s.metal)
	s.mux.HandleFunc("GET /api/listen", s.listening)
	s.mux.HandleFunc("POST /api/listen", s.listen)
	s.mux.HandleFunc("DELETE /api/listen", s.stopListening)
	s.mux.HandleFunc("GET /api/listen/code.svg", s.code)
	s.mux.HandleFunc("/", s.rest)
}

// serve answers one operation. Bodies are read, and bounded, before.
func serve[I, O any](api huma.API, method, path, summary string, does func(context.Context, *I) (*O, error)) {
	huma.Register(api, huma.Operation{OperationID: operation(method, path), Method: method, Path: path, Summary: summary,
		MaxBodyBytes: -1, BodyReadTimeout: -1}, does)
}
