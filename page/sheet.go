package page

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"net/url"

	"bandwright/finding"
)

// paperPolicy is for paper shown in the browser: one file with its styles in
// it, and no script at all.
const paperPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; " +
	"form-action 'none'; base-uri 'none'; frame-ancestors 'self'"

// sheet answers GET /api/sheet/{id}/{form}: a sheet of the job as it is kept, as
// html or pdf. ?of= names which of papers; ?drawer=FILE adds the pick list to the
// job sheet, ?stage= and the like are the question's own.
func (s *Server) sheet(w http.ResponseWriter, r *http.Request) {
	id, form, words := r.PathValue("id"), r.PathValue("form"), r.URL.Query()
	p, known := papers()[words.Get("of")]
	if form != "html" && form != "pdf" || !known {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": words.Get("of") + " as " + form}))
		return
	}
	var text bytes.Buffer
	if err := s.layOut(r.Context(), &text, p, id, form, words); err != nil {
		refuse(w, problem(id, err))
		return
	}
	h := w.Header()
	if form == "pdf" {
		h.Set("Content-Type", "application/pdf")
		h.Set("Content-Disposition", `attachment; filename="`+p.name+`.pdf"`)
	} else {
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Content-Security-Policy", paperPolicy)
	}
	_, _ = w.Write(text.Bytes()) // whoever asked may be gone
}

// layOut writes a sheet of a job as it is kept.
func (s *Server) layOut(ctx context.Context, w io.Writer, p paper, id, form string, words url.Values) error {
	text, err := s.Shop.Read(id)
	if err != nil {
		return err
	}
	sheet, err := p.compose(ctx, s.from(ctx, about{Job: id}, text), words)
	if err != nil {
		return err
	}
	if form == "pdf" {
		return sheet.PDF(w)
	}
	return sheet.HTML(w)
}
