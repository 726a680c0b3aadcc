package page

import (
	"bytes"
	"context"
	"io"
	"net/http"

	"bandwright/ask"
	"bandwright/finding"
)

// metalForms are the forms a drawing is given in: true to size for machines,
// and on the pages of a paper with check bars.
var metalForms = map[string]string{"svg": "image/svg+xml", "dxf": "image/vnd.dxf", "pdf": "application/pdf"}

// metal answers GET /api/metal/{id}/{what}/{form}: a drawing of the metalwork of
// what is kept; what is tab, panel, face or drill.
func (s *Server) metal(w http.ResponseWriter, r *http.Request) {
	id, what, form := r.PathValue("id"), r.PathValue("what"), r.PathValue("form")
	kind, known := metalForms[form]
	drawn, has := metalDrawings[what]
	if !known || !has {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": what + "/" + form}))
		return
	}
	var text bytes.Buffer
	if err := s.drawMetal(r.Context(), &text, id, drawn, form); err != nil {
		refuse(w, problem(id, err))
		return
	}
	h := w.Header()
	h.Set("Content-Type", kind)
	h.Set("Content-Security-Policy", paperPolicy)
	h.Set("Content-Disposition", `attachment; filename="`+what+"."+form+`"`) // an image in the page is shown all the same
	_, _ = w.Write(text.Bytes())                                             // whoever asked may be gone
}

// drawing is one in both ways that it is wanted.
type drawing struct {
	pages interface {
		PDF(w io.Writer, creator string) error
	}
	whole interface {
		SVG(w io.Writer) error
		DXF(w io.Writer) error
	}
}

func (s *Server) drawMetal(ctx context.Context, w io.Writer, id string, drawn func(context.Context, ask.From) (drawing, finding.List, error), form string) error {
	text, err := s.Shop.Read(id)
	if err != nil {
		return err
	}
	from := s.from(ctx, about{Job: id}, text)
	d, found, err := drawn(ctx, from)
	if err == nil {
		err = found.Err()
	}
	if err != nil {
		return err
	}
	switch form {
	case "svg":
		return d.whole.SVG(w)
	case "dxf":
		return d.whole.DXF(w)
	}
	return d.pages.PDF(w, from.Program)
}

// metalDrawings are the drawings by their names; paper and factors are the job's.
var metalDrawings = map[string]func(context.Context, ask.From) (drawing, finding.List, error){
	"tab": func(ctx context.Context, from ask.From) (d drawing, found finding.List, err error) {
		a, found, err := ask.Tab{}.Ask(ctx, from)
		if a != nil {
			d = drawing{a.Pages(), a.Whole()}
		}
		return d, found, err
	},
	"panel": func(ctx context.Context, from ask.From) (d drawing, found finding.List, err error) {
		a, found, err := ask.Panel{}.Ask(ctx, from)
		if a != nil {
			d = drawing{a.Template(), a.WholeTemplate()}
		}
		return d, found, err
	},
	"face": func(ctx context.Context, from ask.From) (d drawing, found finding.List, err error) {
		a, found, err := ask.Panel{}.Ask(ctx, from)
		if a != nil {
			d = drawing{a.Face(), a.WholeFace()}
		}
		return d, found, err
	},
	"drill": func(ctx context.Context, from ask.From) (d drawing, found finding.List, err error) {
		a, found, err := ask.Drill{}.Ask(ctx, from)
		if a != nil {
			d = drawing{a.Pages(), a.Whole()}
		}
		return d, found, err
	},
}
