package page

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"strings"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/report"
	"bandwright/shop"
)

// file answers GET /api/jobs/{id}/files/{name}; its ETag is its version.
func (s *Server) file(w http.ResponseWriter, r *http.Request) {
	name := r.PathValue("name")
	data, err := s.Shop.File(r.PathValue("id"), name)
	if err != nil {
		refuse(w, problem(name, err))
		return
	}
	h := w.Header()
	h.Set("Content-Type", "text/plain; charset=utf-8")
	if strings.HasSuffix(strings.ToLower(name), ".zip") {
		h.Set("Content-Type", "application/zip")
	}
	h.Set("ETag", `"`+shop.Version(data)+`"`)
	_, _ = w.Write(data) // whoever asked may be gone
}

// saveFile answers PUT /api/jobs/{id}/files/{name}. If-Match holds the version
// that the new one was made from (RFC 9110, 13.1.1); without it the file must
// not be there yet, or be the same.
func (s *Server) saveFile(w http.ResponseWriter, r *http.Request) {
	id, name := r.PathValue("id"), r.PathValue("name")
	var data bytes.Buffer
	_, err := data.ReadFrom(r.Body)
	if err == nil {
		err = s.Shop.SaveFile(id, name, data.Bytes(), strings.Trim(r.Header.Get("If-Match"), `"`))
	}
	if err != nil {
		refuse(w, problem(name, err))
		return
	}
	w.Header().Set("ETag", `"`+shop.Version(data.Bytes())+`"`)
	w.WriteHeader(http.StatusNoContent)
}

type dropped struct {
	Body struct {
		Bytes []byte   `json:"bytes" doc:"the file, in base 64"`
		As    curve.As `json:"read_as" doc:"what is known of it; the rest is found out"`
	}
}

// Understood is what a curve file was taken for; after an error, so far.
type Understood struct {
	Answer   curve.Understood `json:"answer"`
	Findings []report.Worded  `json:"findings"`
}

// understand looks at a curve file; it keeps nothing.
func (s *Server) understand(_ context.Context, in *dropped) (*reply[Understood], error) {
	_, understood, err := curve.Read(bytes.NewReader(in.Body.Bytes), in.Body.As)
	wrong, isInput := finding.From(err)
	if err != nil && !isInput {
		return nil, problem("the curve file", errors.Join(err))
	}
	found := report.Once(append(understood.Findings, wrong...))
	return &reply[Understood]{Understood{Answer: understood, Findings: report.WordAll(found)}}, nil
}
