package ask

import (
	"context"
	"strings"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// PowerUp asks for the list of one stage of a first power-up, and what becomes
// of what was read.
type PowerUp struct {
	Stage   string   `json:"stage"` // bench, limiter or mains
	Set     string   `json:"set"`
	Rail    string   `json:"rail"`    // as read at the tap: "398 V"; "": nobody has read it
	Mains   string   `json:"mains"`   // as read at the wall; looked at where the rail is not read
	Current string   `json:"current"` // that the bench supply shows: "6.5 mA"
	Skip    []string `json:"skip"`    // earlier stages left out: "bench: the supply is out on loan"
	Reading []string `json:"reading"` // "volts out 12.1 V"
	CSV     []string `json:"csv"`     // lists of readings
}

// IDSkip: what does not name a stage and a reason. read.
const IDSkip finding.ID = "ask.skip"

// Ask answers.
func (q PowerUp) Ask(ctx context.Context, from From) (*bench.FirstVoltsAnswer, finding.List, error) {
	put, err := q.question(from)
	if err != nil {
		return nil, nil, err
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.FirstVoltsAnswer, finding.List, error) { return c.FirstVolts(ctx, put) })
}

// question reads the fields; every one that cannot be read is told.
func (q PowerUp) question(from From) (bench.FirstVoltsQuestion, error) {
	put := bench.FirstVoltsQuestion{Stage: q.Stage, Setting: q.Set}
	var w wrongs
	if q.Rail != "" {
		v, err := quantity.ParseVolts(q.Rail)
		w.add(err)
		put.Rail = figure(v)
	}
	if q.Mains != "" {
		v, err := quantity.ParseVolts(q.Mains)
		w.add(err)
		put.Mains = figure(v)
	}
	if q.Current != "" {
		v, err := quantity.ParseAmperes(q.Current)
		w.add(err)
		put.Amperes = figure(v)
	}
	for _, text := range q.Skip {
		stage, reason, _ := strings.Cut(text, ":")
		stage, reason = strings.TrimSpace(stage), strings.TrimSpace(reason)
		if stage == "" || reason == "" {
			w.add(refusal(IDSkip, finding.Args{"read": text}))
		}
		put.Skipped = append(put.Skipped, job.PowerStage{Stage: stage, Skipped: reason})
	}
	list, err := readings(from, q.Reading, q.CSV)
	w.add(err)
	put.Readings = list
	return put, w.err()
}

func figure[T ~float64](v T) *float64 {
	f := float64(v)
	return &f
}
