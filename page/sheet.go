package page

import (
	"bytes"
	"context"
	"io"
	"net/http"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// paperPolicy is for paper shown in the browser: one file with its styles in
// it, and no script at all.
const paperPolicy = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; " +
	"form-action 'none'; base-uri 'none'; frame-ancestors 'self'"

// sheet answers GET /api/sheet/{id}/{form}: the job sheet of what is kept, as
// html or pdf. ?drawer=FILE adds the pick list.
func (s *Server) sheet(w http.ResponseWriter, r *http.Request) {
	id, form := r.PathValue("id"), r.PathValue("form")
	if form != "html" && form != "pdf" {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": form}))
		return
	}
	var text bytes.Buffer
	if err := s.layOut(r.Context(), &text, id, form, r.URL.Query().Get("drawer")); err != nil {
		refuse(w, problem(id, err))
		return
	}
	h := w.Header()
	if form == "pdf" {
		h.Set("Content-Type", "application/pdf")
		h.Set("Content-Disposition", `attachment; filename="job-sheet.pdf"`)
	} else {
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Content-Security-Policy", paperPolicy)
	}
	_, _ = w.Write(text.Bytes()) // whoever asked may be gone
}

// layOut writes the sheet of a job as it is kept.
func (s *Server) layOut(ctx context.Context, w io.Writer, id, form, drawer string) error {
	text, err := s.Shop.Read(id)
	if err != nil {
		return err
	}
	answer, found, err := ask.Sheet{Drawer: drawer}.Ask(ctx, s.from(ctx, about{Job: id}, text))
	if err == nil {
		err = found.Err()
	}
	if err != nil {
		return err
	}
	sheet := report.New(answer.Sheet, answer.Job(), found, "bandwright "+s.Version)
	if form == "pdf" {
		return sheet.PDF(w)
	}
	return sheet.HTML(w)
}
