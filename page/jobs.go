package page

import (
	"context"
	"errors"
	"io/fs"
	"unicode/utf8"

	"bandwright/bench"
	"bandwright/job"
	"bandwright/report"
	"bandwright/shop"
)

// noFiles stands for the folder of a job that is not there yet.
type noFiles struct{}

// Open finds nothing.
func (noFiles) Open(name string) (fs.File, error) {
	return nil, &fs.PathError{Op: "open", Path: name, Err: fs.ErrNotExist}
}

// View is a job's text with what it says.
type View struct {
	Text string `json:"text"`
	// Job is the job as tables, lists and texts under the keys of its file;
	// null: the text does not open.
	Job      map[string]any  `json:"job"`
	Findings []report.Worded `json:"findings"`
}

// viewed decodes a text.
func viewed(text []byte) View {
	decoded, found := job.Decode("job.toml", text)
	v := View{Text: string(text), Findings: report.WordAll(found)}
	if found.Err() == nil {
		v.Job = job.View(decoded)
	}
	return v
}

// Opened is a job of the folder.
type Opened struct {
	ID      string `json:"id"`
	Version string `json:"version"` // of the file: SHA-256, in hex
	View
}

type jobPath struct {
	ID string `path:"id" doc:"a job's file or folder, by its name alone"`
}

type reply[T any] struct{ Body T }

type named struct {
	ID string `json:"id"`
}

func (s *Server) list(context.Context, *struct{}) (*reply[[]shop.Row], error) {
	rows, err := s.Shop.List()
	if err != nil {
		return nil, problem("the folder of jobs", err)
	}
	return &reply[[]shop.Row]{rows}, nil
}

func (s *Server) questions(context.Context, *struct{}) (*reply[[]job.Question], error) {
	return &reply[[]job.Question]{job.Questions()}, nil
}

type newJob struct {
	Body struct {
		Answers map[string]string `json:"answers"`
	}
}

// create keeps a job from the answers to the dozen questions, once it computes.
func (s *Server) create(ctx context.Context, in *newJob) (*reply[named], error) {
	text, err := job.New(in.Body.Answers)
	if err != nil {
		return nil, problem("the new job", err)
	}
	c, found := bench.Open(ctx, "job.toml", text, noFiles{})
	if found.Err() == nil {
		_, found, err = c.Bands(ctx, "flat")
	}
	if err := errors.Join(err, found.Err()); err != nil {
		return nil, problem("the new job", err)
	}
	id, err := s.Shop.Create(c.Job().Title, map[string][]byte{"job.toml": text})
	if err != nil {
		return nil, problem("the new job", err)
	}
	return &reply[named]{named{id}}, nil
}

func (s *Server) open(_ context.Context, in *jobPath) (*reply[Opened], error) {
	text, err := s.Shop.Read(in.ID)
	if err != nil {
		return nil, problem(in.ID, err)
	}
	return &reply[Opened]{Opened{ID: in.ID, Version: shop.Version(text), View: viewed(text)}}, nil
}

// saveJob names its job by itself: the library does not see a path in an
// embedded type of a small letter.
type saveJob struct {
	ID   string `path:"id" doc:"a job's file or folder, by its name alone"`
	Body struct {
		Text    string `json:"text"`
		Version string `json:"version" doc:"of the text that this one was made from"`
	}
}

type saved struct {
	Version string `json:"version"`
}

// save keeps a text. A file that is no longer the one it was made from stays.
func (s *Server) save(_ context.Context, in *saveJob) (*reply[saved], error) {
	now, err := s.Shop.Read(in.ID)
	if err == nil && !utf8.Valid(now) {
		// What was shown of it is not what is there.
		err = shop.ErrChanged
	}
	text := []byte(in.Body.Text)
	if err == nil {
		err = s.Shop.Save(in.ID, text, in.Body.Version)
	}
	if err != nil {
		return nil, problem(in.ID, err)
	}
	return &reply[saved]{saved{shop.Version(text)}}, nil
}

func (s *Server) duplicate(_ context.Context, in *jobPath) (*reply[named], error) {
	id, err := s.Shop.Duplicate(in.ID)
	if err != nil {
		return nil, problem(in.ID, err)
	}
	return &reply[named]{named{id}}, nil
}

func (s *Server) archive(_ context.Context, in *jobPath) (*struct{}, error) {
	return nil, s.away(in.ID, true)
}

func (s *Server) restore(_ context.Context, in *jobPath) (*struct{}, error) {
	return nil, s.away(in.ID, false)
}

func (s *Server) away(id string, away bool) error {
	if err := s.Shop.Archive(id, away); err != nil {
		return problem(id, err)
	}
	return nil
}

type editJob struct {
	Body struct {
		Text  string     `json:"text"`
		Edits []job.Edit `json:"edits"`
	}
}

// edit makes changes to a text; it keeps nothing. Without any it only says
// what the text is.
func (s *Server) edit(_ context.Context, in *editJob) (*reply[View], error) {
	text := []byte(in.Body.Text)
	if len(in.Body.Edits) > 0 {
		changed, err := job.Change("job.toml", text, in.Body.Edits)
		if err != nil {
			return nil, problem("the job", err)
		}
		text = changed
	}
	return &reply[View]{viewed(text)}, nil
}
