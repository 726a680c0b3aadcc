package page

import (
	"bytes"
	"net/http"

	"bandwright/finding"
	"bandwright/report"
)

// code answers GET /api/listen/code.svg.
func (s *Server) code(w http.ResponseWriter, _ *http.Request) {
	s.bench.mu.Lock()
	l := s.bench.open
	s.bench.mu.Unlock()
	if l == nil {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": "the square code"}))
		return
	}
	const module = 1.4 // mm: read from the bench by a telephone
	drawing, err := report.SquareCode(l.Address, module)
	var text bytes.Buffer
	if err == nil {
		err = drawing.SVG(&text)
	}
	if err != nil {
		refuse(w, problem("the square code", err))
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, _ = w.Write(text.Bytes()) // whoever asked may be gone
}
