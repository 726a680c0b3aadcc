package page

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"path"
	"runtime"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/shop"
)

// about is what every question says beside its own fields.
type about struct {
	Job string `json:"job"`
	// Text is the job's text where it is not kept yet; null: the file's.
	Text *string `json:"text"`
}

// parted takes what a question is about out of its body; the rest are the
// question's own fields.
func parted(body []byte) (of about, fields []byte, err error) {
	all := map[string]json.RawMessage{}
	if err := json.Unmarshal(body, &all); err != nil {
		return of, nil, refusal(http.StatusBadRequest, IDRequest, finding.Args{"reason": err.Error()})
	}
	for name, into := range map[string]any{"job": &of.Job, "text": &of.Text} {
		raw, given := all[name]
		if delete(all, name); !given {
			continue
		}
		if err := json.Unmarshal(raw, into); err != nil {
			return of, nil, refusal(http.StatusBadRequest, IDRequest, finding.Args{"reason": name + ": " + err.Error()})
		}
	}
	fields, err = json.Marshal(all)
	return of, fields, err
}

// text gives the text a question is asked of.
func (s *Server) text(of about) ([]byte, error) {
	if of.Text == nil {
		return s.Shop.Read(of.Job)
	}
	if len(*of.Text) > job.MaxBytes {
		return nil, shop.ErrTooBig
	}
	return []byte(*of.Text), nil
}

// from is what a question is asked of: a job of the folder, and the files
// beside it.
func (s *Server) from(ctx context.Context, of about, text []byte) ask.From {
	return ask.From{
		Open: func(context.Context) (*bench.Case, finding.List, error) { return s.cases.get(of.Job, text) },
		File: func(name string) (string, []byte, error) {
			data, err := s.Shop.File(of.Job, name)
			if errors.Is(err, shop.ErrNone) || errors.Is(err, shop.ErrName) {
				err = finding.New(ask.IDFileMissing, finding.Error, finding.Place{}, finding.Args{"path": name})
			}
			return path.Base(name), data, err
		},
		Program: "bandwright " + s.Version,
		Recording: func(name string) (bench.RecordingFile, func(), error) {
			file, size, err := s.Shop.Recording(of.Job, name)
			if errors.Is(err, shop.ErrNone) || errors.Is(err, shop.ErrName) {
				err = finding.New(ask.IDFileMissing, finding.Error, finding.Place{}, finding.Args{"path": name})
			}
			if err != nil {
				return bench.RecordingFile{}, nil, err
			}
			// Nothing was written to it, so closing has nothing to say.
			return bench.RecordingFile{Name: path.Base(name), Source: file, Size: size}, func() { _ = file.Close() }, nil
		},
		Workers: runtime.GOMAXPROCS(0),
		Hold:    func() { s.gate.hold(ctx) },
	}
}

// begun is a question that was read, with what it is asked of.
type begun struct {
	question ask.Question
	fields   []byte
	from     ask.From
	text     []byte
}

// begin reads a request that puts a question.
func (s *Server) begin(ctx context.Context, r *http.Request) (begun, error) {
	name := r.PathValue("question")
	q, known := ask.Named(name)
	if !known {
		return begun{}, refusal(http.StatusNotFound, IDNone, finding.Args{"what": name})
	}
	body, err := io.ReadAll(r.Body)
	if err != nil {
		return begun{}, err
	}
	of, fields, err := parted(body)
	if err != nil {
		return begun{}, err
	}
	b := begun{question: q, fields: fields}
	if of.Job != "" || !q.Jobless {
		if b.text, err = s.text(of); err != nil {
			return begun{}, problem(of.Job, err)
		}
	}
	b.from = s.from(ctx, of, b.text)
	return b, nil
}

// answer answers POST /api/ask/{question} with the bytes that the command
// prints; long ones as a stream of events to who takes those.
func (s *Server) answer(w http.ResponseWriter, r *http.Request) {
	b, err := s.begin(r.Context(), r)
	if err != nil {
		refuse(w, problem("the question", err))
		return
	}
	if b.question.Long && strings.Contains(r.Header.Get("Accept"), "text/event-stream") {
		s.stream(w, r, b)
		return
	}
	if !b.question.Long {
		defer s.gate.enter()()
	}
	var text bytes.Buffer
	if err := b.question.Answer(r.Context(), &text, b.fields, b.from); err != nil {
		refuse(w, problem("the question", err))
		return
	}
	sendJSON(w, text.Bytes())
}

func sendJSON(w http.ResponseWriter, text []byte) {
	w.Header().Set("Content-Type", "application/json")
	_, _ = w.Write(text) // whoever asked may be gone
}

// keep answers POST /api/keep/{question}: the job's text with what the
// question found in it. Nothing is saved.
func (s *Server) keep(w http.ResponseWriter, r *http.Request) {
	b, err := s.begin(r.Context(), r)
	if err == nil && !b.question.Keeps() {
		err = refusal(http.StatusNotFound, IDNone, finding.Args{"what": r.PathValue("question")})
	}
	var text []byte
	if err == nil {
		text, err = b.question.Keep(r.Context(), b.fields, b.from, b.text)
	}
	if err != nil {
		refuse(w, problem("the question", err))
		return
	}
	reply, err := json.Marshal(viewed(text))
	if err != nil {
		panic(err)
	}
	sendJSON(w, reply)
}
