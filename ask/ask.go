// Package ask holds every question that a door may put to a job, in the words
// a person uses: one table, so that command and page ask the same thing and
// give the same bytes. It reads words and calls bench; it computes nothing,
// and reads no file but through what the door hands it.
//
// A question's fields are the keys of its JSON, and stand for the flags of the
// verb of its name. Each has a method Ask that gives its answer with the
// findings, and an error when there is none: a finding.List, or the context's
// own.
package ask

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"reflect"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/report"
)

// From is what a question is asked of.
type From struct {
	// Open opens the job; an error means that there is no case, and the
	// findings come with it all the same.
	Open func(context.Context) (*bench.Case, finding.List, error)
	// File reads a file that the question names, and gives its own name.
	File func(path string) (name string, text []byte, err error)
	// Recording opens a file of any length that the question names; end closes
	// it and is nil when there is none.
	Recording func(path string) (file bench.RecordingFile, end func(), err error)
	// Program is its name and version, for what is printed.
	Program string
	// Workers are the goroutines that long work may use; below 1: one.
	Workers int
	// Progress is told how far long work is; total 0: nobody knows. May be nil.
	Progress func(done, total int)
	// Hold is called between small pieces of long work, from any goroutine,
	// and may keep it back. May be nil.
	Hold func()
}

// Question is a row of the table.
type Question struct {
	Name    string
	Long    bool         // worth a bar, and a way to stop
	Partial bool         // errors among the findings leave the answer standing
	Jobless bool         // asked of no job
	Fields  reflect.Type // the question
	Gives   reflect.Type // the answer
	read    func(fields []byte) (asked, error)
}

// asked is a question that was read.
type asked func(context.Context, From) (any, finding.List, error)

// row makes a row; standard holds what stands for fields left out.
func row[Q, A any](q Question, standard Q, ask func(Q, context.Context, From) (A, finding.List, error)) Question {
	q.Fields, q.Gives = reflect.TypeFor[Q](), reflect.TypeFor[A]()
	q.read = func(fields []byte) (asked, error) {
		one := standard
		if err := strict(fields, &one); err != nil {
			return nil, err
		}
		return func(ctx context.Context, from From) (any, finding.List, error) { return ask(one, ctx, from) }, nil
	}
	return q
}

// Table gives every question, in the order of the work.
func Table() []Question {
	return []Question{
		row(Question{Name: "check"}, Check{}, Check.Ask),
		row(Question{Name: "bands"}, Bands{Others: flat}, Bands.Ask),
		row(Question{Name: "ranges"}, Ranges{}, Ranges.Ask),
		row(Question{Name: "predict"}, Predict{Set: flat}, Predict.Ask),
		row(Question{Name: "shares"}, Shares{Set: flat, Hz: 1000}, Shares.Ask),
		row(Question{Name: "volts"}, Volts{Set: flat}, Volts.Ask),
		row(Question{Name: "noise"}, Noise{Set: flat}, Noise.Ask),
		row(Question{Name: "takes"}, StandardTakes(), Takes.Ask),
		row(Question{Name: "signal", Jobless: true}, StandardTest(), Signal.Ask),
		row(Question{Name: "recording", Long: true, Jobless: true}, StandardRecording(), Recording.Ask),
		row(Question{Name: "compare"}, Compare{}, Compare.Ask),
		row(Question{Name: "fit", Long: true}, StandardFit(), Fit.Ask),
		row(Question{Name: "explain", Long: true}, Explain{}, Explain.Ask),
		row(Question{Name: "spread", Long: true}, StandardSpread(), Spread.Ask),
		row(Question{Name: "feed"}, Feed{}, Feed.Ask),
		row(Question{Name: "drawer", Partial: true, Jobless: true}, StandardDrawer(), Drawer.Ask),
		row(Question{Name: "design", Long: true}, Design{}, Design.Ask),
		row(Question{Name: "choose", Long: true}, StandardChoose(), Choose.Ask),
		row(Question{Name: "runs"}, Runs{}, Runs.Ask),
		row(Question{Name: "ohms", Long: true}, StandardOhms(), Ohms.Ask),
		row(Question{Name: "probe"}, StandardProbe(), Probe.Ask),
		row(Question{Name: "powerup"}, PowerUp{Set: flat}, PowerUp.Ask),
		row(Question{Name: "trim", Long: true}, StandardTrim(), Trim.Ask),
		row(Question{Name: "faults", Long: true}, StandardFaults(), Faults.Ask),
		row(Question{Name: "hum"}, Hum{}, Hum.Ask),
		row(Question{Name: "tab"}, Tab{}, Tab.Ask),
		row(Question{Name: "panel"}, Panel{}, Panel.Ask),
		row(Question{Name: "drill"}, Drill{}, Drill.Ask),
		row(Question{Name: "sheet"}, Sheet{}, Sheet.Ask),
		row(Question{Name: "record", Long: true}, Record{}, Record.Ask),
		row(Question{Name: "rebuild", Long: true, Jobless: true}, Rebuild{}, Rebuild.Ask),
		row(Question{Name: "preferred", Jobless: true}, Preferred{}, Preferred.Ask),
	}
}

// flat is where sliders stand that nobody has moved.
const flat = "flat"

// Named finds a question.
func Named(name string) (Question, bool) {
	for _, q := range Table() {
		if q.Name == name {
			return q, true
		}
	}
	return Question{}, false
}

// Answer reads the fields of a question and writes its reply as every door
// does; what cannot be read as fields is an IDFields. stopped tells that the
// context ended before all was done; where there is a part of an answer the
// reply holds it. Errors are those of the stream, the context, and faults.
func (q Question) Answer(ctx context.Context, w io.Writer, fields []byte, from From) error {
	put, err := q.read(fields)
	var answer any
	var found finding.List
	if err == nil {
		answer, found, err = put(ctx, from)
	}
	answer, found, err = Settle(answer, found, err, q.Partial)
	if err != nil {
		return err
	}
	return report.JSON(w, answer, found)
}

// Keeps tells whether what the question finds is parts that a job can be given.
func (q Question) Keeps() bool {
	return q.Gives.Implements(reflect.TypeFor[filled]()) && q.Name != "sheet"
}

// filled is an answer that holds the job with what was found in it.
type filled interface{ Job() *job.Job }

// Keep asks, and gives the job's text with what was found written into it;
// comments stay. Errors are as those of Ask, or say that the copy would not
// open.
func (q Question) Keep(ctx context.Context, fields []byte, from From, text []byte) ([]byte, error) {
	put, err := q.read(fields)
	if err != nil {
		return nil, err
	}
	answer, found, err := put(ctx, from)
	if err == nil {
		err = found.Err()
	}
	if err != nil {
		return nil, err
	}
	with, ok := answer.(filled)
	if !ok {
		panic("ask: " + q.Name + " fills no job")
	}
	return job.Update(text, with.Job())
}

// Settle joins an answer, its findings and an error to what is replied: an
// error that carries findings is an answer that could not be given, and so is
// an error among the findings unless the answer is partial.
func Settle(answer any, found finding.List, err error, partial bool) (any, finding.List, error) {
	wrong, isInput := finding.From(err)
	if err != nil && !isInput {
		return nil, nil, err
	}
	found = report.Once(append(found, wrong...)) // what stopped it is often among them
	if err != nil || !partial && found.Err() != nil {
		answer = nil
	}
	return answer, found, nil
}

// What is wrong with a question itself; all are errors.
const (
	// IDFields: reason. The fields are no JSON of the question's.
	IDFields finding.ID = "ask.fields"
	// IDClash: one, other; two fields or flags that cannot go together.
	IDClash finding.ID = "ask.clash"
	// IDWhatIf: what is to be tried cannot be read. read, kinds.
	IDWhatIf finding.ID = "ask.what-if"
	// IDNoOriginal: no curve of an original shows a band. No args.
	IDNoOriginal finding.ID = "ask.no-original"
	// IDLeast: what is to be made least. read.
	IDLeast finding.ID = "ask.least"
	// IDNoLimit: a limit of nought or below. flag, read.
	IDNoLimit finding.ID = "ask.no-limit"
	// IDFileMissing: path. A file that the question names is not there.
	IDFileMissing finding.ID = "ask.file-missing"
	// IDKind: no kind that has preferred values. read.
	IDKind finding.ID = "ask.kind"
)

// refusal makes one error.
func refusal(id finding.ID, args finding.Args) error {
	return finding.New(id, finding.Error, finding.Place{}, args)
}

// strict reads fields; one that the question has not is an error.
func strict(fields []byte, into any) error {
	decoder := json.NewDecoder(bytes.NewReader(fields))
	decoder.DisallowUnknownFields()
	err := decoder.Decode(into)
	if err == nil {
		if _, more := decoder.Token(); !errors.Is(more, io.EOF) {
			err = errors.New("something follows the fields")
		}
	}
	if err != nil {
		return refusal(IDFields, finding.Args{"reason": err.Error()})
	}
	return nil
}

// wrongs gathers what is wrong with the words of a question, so that every
// one that cannot be read is named.
type wrongs finding.List

func (w *wrongs) add(err error) {
	if list, ok := finding.From(err); ok {
		*w = append(*w, list...)
	}
}

func (w wrongs) err() error { return finding.List(w).Err() }
