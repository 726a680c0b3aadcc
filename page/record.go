package page

import (
	"context"
	"net/http"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// recordForms are the forms a record is handed over in, with their kind and
// the name that is suggested for them; "": shown in the browser.
var recordForms = map[string]struct{ kind, name string }{
	"zip":  {"application/zip", "record.zip"},
	"pdf":  {"application/pdf", "record.pdf"},
	"html": {"text/html; charset=utf-8", ""},
}

// record answers GET /api/record/{id}/{form}: the record of what is kept, as
// the whole package or the paper alone.
func (s *Server) record(w http.ResponseWriter, r *http.Request) {
	id, form := r.PathValue("id"), r.PathValue("form")
	as, known := recordForms[form]
	if !known {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": form}))
		return
	}
	text, err := s.recordAs(r.Context(), id, form)
	if err != nil {
		refuse(w, problem(id, err))
		return
	}
	h := w.Header()
	h.Set("Content-Type", as.kind)
	if as.name == "" {
		h.Set("Content-Security-Policy", paperPolicy)
	} else {
		h.Set("Content-Disposition", `attachment; filename="`+as.name+`"`)
	}
	_, _ = w.Write(text) // whoever asked may be gone
}

func (s *Server) recordAs(ctx context.Context, id, form string) ([]byte, error) {
	text, err := s.Shop.Read(id)
	if err != nil {
		return nil, err
	}
	answer, _, err := ask.Record{}.Ask(ctx, s.from(ctx, about{Job: id}, text))
	if err != nil {
		return nil, err
	}
	switch form {
	case "zip":
		return answer.Package()
	case "pdf":
		return answer.File(report.PackagePaper), nil
	}
	return answer.File(report.PackagePage), nil
}
