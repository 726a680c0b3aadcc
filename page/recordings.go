package page

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strconv"
	"time"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/shop"
)

// keepRecording is the one route whose body is not read beforehand: it goes to
// the disk as it comes.
const keepRecording = "PUT /api/jobs/{id}/recordings/{name}"

// streamed tells whether a request goes by that route. What its address looks
// like does not tell: a name in it may hold anything.
func (s *Server) streamed(r *http.Request) bool {
	_, route := s.mux.Handler(r)
	return route == keepRecording
}

// keepRecording answers PUT /api/jobs/{id}/recordings/{name}.
func (s *Server) keepRecording(w http.ResponseWriter, r *http.Request) {
	const most = shop.MostRecordingBytes
	if r.ContentLength > most {
		refuse(w, refusal(http.StatusRequestEntityTooLarge, IDTooBig, finding.Args{"most": int64(most)}))
		return
	}
	name := r.PathValue("name")
	body := &steady{body: http.MaxBytesReader(w, r.Body, most), control: http.NewResponseController(w)}
	err := s.Shop.KeepRecording(r.PathValue("id"), name, body)
	body.rest()
	switch {
	case body.err != nil && err != nil:
		refuse(w, unread(body.err, most))
	case errors.Is(err, shop.ErrExists):
		refuse(w, refusal(http.StatusConflict, IDRecordingThere, finding.Args{"what": name}))
	case err != nil:
		refuse(w, problem(name, err))
	default:
		w.WriteHeader(http.StatusNoContent)
	}
}

// steady reads a long body that must keep coming: each piece has as long as
// another body has in all.
type steady struct {
	body    io.Reader
	control *http.ResponseController
	left    int   // of the piece
	err     error // what ended it, but for its own end
}

// piece of a body must come within bodyTime: 50 kB a second, which any network
// of a workshop has.
const piece = 1 << 20

// Read reads.
func (s *steady) Read(b []byte) (int, error) {
	if s.left <= 0 {
		s.left = piece
		// Where there is no connection below, nothing is slow.
		_ = s.control.SetReadDeadline(time.Now().Add(bodyTime))
	}
	n, err := s.body.Read(b)
	s.left -= n
	if err != nil && !errors.Is(err, io.EOF) {
		s.err = err
	}
	return n, err
}

// rest takes the limit off what comes after the body.
func (s *steady) rest() { _ = s.control.SetReadDeadline(time.Time{}) }

// recordings lists what was put beside a job.
func (s *Server) recordings(_ context.Context, in *jobPath) (*reply[[]shop.RecordingRow], error) {
	rows, err := s.Shop.Recordings(in.ID)
	if err != nil {
		return nil, problem(in.ID, err)
	}
	return &reply[[]shop.RecordingRow]{rows}, nil
}

type taken struct {
	Body struct {
		Number int            `json:"number" minimum:"1" maximum:"9999" doc:"its place among those that are written, from 1"`
		Take   bench.TakeRead `json:"take" doc:"as it stands in the answer"`
	}
}

// Written is a curve file that stands nowhere yet.
type Written struct {
	Name    string `json:"name"`
	Text    string `json:"text"`
	SHA256  string `json:"sha256"`
	Setting string `json:"setting"`
}

// writeCurve gives the file that the command's sweep read --out writes.
func (s *Server) writeCurve(_ context.Context, in *taken) (*reply[Written], error) {
	var text bytes.Buffer
	if err := curve.Write(&text, in.Body.Take.Curve()); err != nil {
		return nil, problem("the take", err)
	}
	return &reply[Written]{Written{Name: in.Body.Take.FileName(in.Body.Number), Text: text.String(),
		SHA256: shop.Version(text.Bytes()), Setting: in.Body.Take.Setting.String()}}, nil
}

// takesRecording answers GET /api/takes/{id}/wav: the test recording for the
// takes of a job as it is kept. ?rate=, ?bits= and ?pause= are the question's.
func (s *Server) takesRecording(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	signal, err := s.takesSignal(r.Context(), id, r.URL.Query())
	if err != nil {
		refuse(w, problem(id, err))
		return
	}
	h := w.Header()
	h.Set("Content-Type", "audio/wav")
	h.Set("Content-Disposition", `attachment; filename="test.wav"`)
	if r.Method == http.MethodHead {
		return
	}
	b := bufio.NewWriterSize(w, 1<<18)
	if err := errors.Join(signal.Write(b), b.Flush()); err != nil {
		panic(http.ErrAbortHandler) // half a recording is none
	}
}

func (s *Server) takesSignal(ctx context.Context, id string, words url.Values) (*bench.SignalAnswer, error) {
	text, err := s.Shop.Read(id)
	if err != nil {
		return nil, err
	}
	q := ask.StandardTakes()
	if words.Has("rate") {
		if q.Rate, err = strconv.Atoi(words.Get("rate")); err != nil {
			return nil, refusal(http.StatusBadRequest, IDRequest, finding.Args{"reason": fmt.Sprintf("rate: %.20q is no number", words.Get("rate"))})
		}
	}
	given(words, "bits", &q.Bits)
	given(words, "pause", &q.Pause)
	answer, found, err := q.Ask(ctx, s.from(ctx, about{Job: id}, text))
	if err = cleared(found, err); err != nil {
		return nil, err
	}
	return answer.Recording, nil
}
