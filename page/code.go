package page

import (
	"fmt"
	"net/http"
	"strings"

	"rsc.io/qr"

	"bandwright/finding"
)

// quietZone is the white around a square code, in its modules (ISO/IEC 18004).
const quietZone = 4

// squareCode draws a text as a square code of ISO/IEC 18004, black on white in
// either look, for cameras see it best so.
func squareCode(text string) (string, error) {
	code, err := qr.Encode(text, qr.M)
	if err != nil {
		return "", err
	}
	var w strings.Builder
	size := code.Size + 2*quietZone
	fmt.Fprintf(&w, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" width="%d" height="%d" shape-rendering="crispEdges">`, size, size, 6*size, 6*size)
	fmt.Fprintf(&w, `<rect width="%d" height="%d" fill="#fff"/><path fill="#000" d="`, size, size)
	for y := range code.Size {
		for x := range code.Size {
			if code.Black(x, y) {
				fmt.Fprintf(&w, "M%d %dh1v1h-1z", x+quietZone, y+quietZone)
			}
		}
	}
	w.WriteString(`"/></svg>`)
	return w.String(), nil
}

// code answers GET /api/listen/code.svg.
func (s *Server) code(w http.ResponseWriter, _ *http.Request) {
	s.bench.mu.Lock()
	l := s.bench.open
	s.bench.mu.Unlock()
	if l == nil {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": "the square code"}))
		return
	}
	text, err := squareCode(l.Address)
	if err != nil {
		refuse(w, problem("the square code", err))
		return
	}
	w.Header().Set("Content-Type", "image/svg+xml")
	_, _ = w.Write([]byte(text)) // whoever asked may be gone
}
