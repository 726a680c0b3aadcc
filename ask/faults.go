package ask

import (
	"bytes"
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
)

// Faults asks what is wrong, from readings.
type Faults struct {
	Reading []string `json:"reading"` // "volts q1.collector 12.1 V"
	CSV     []string `json:"csv"`     // files of readings
	NoJob   bool     `json:"no_job"`  // leave the job's own readings out
	Unit    string   `json:"unit"`    // take the job's measured curves of this unit too
	Made    bool     `json:"made"`    // of what there is of the harness so far
	Suggest int      `json:"suggest"` // readings to take next, at most
}

// StandardFaults holds what stands for fields left out.
func StandardFaults() Faults { return Faults{Suggest: 3} }

// mostSuggested is how many readings may be suggested: more is no choice.
const mostSuggested = 20

// IDSuggest: a count of readings that cannot be suggested. read, most.
const IDSuggest finding.ID = "ask.suggest"

// Ask answers.
func (q Faults) Ask(ctx context.Context, from From) (*bench.FaultsAnswer, finding.List, error) {
	var w wrongs
	if q.Suggest < 0 || q.Suggest > mostSuggested {
		w.add(refusal(IDSuggest, finding.Args{"read": q.Suggest, "most": mostSuggested}))
	}
	taken, err := readings(from, q.Reading, q.CSV)
	w.add(err)
	if w.err() != nil {
		return nil, nil, w.err()
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.FaultsAnswer, finding.List, error) {
		if !q.NoJob {
			taken = append(c.Job().Readings[:len(c.Job().Readings):len(c.Job().Readings)], taken...)
		}
		return c.Faults(ctx, bench.FaultsQuestion{Readings: taken, Unit: q.Unit, Made: q.Made, Suggest: q.Suggest, Workers: from.Workers}, from.Progress)
	})
}

// readings reads those that stand in no job; every one that cannot be read is told.
func readings(from From, typed, lists []string) ([]job.Reading, error) {
	var list []job.Reading
	var w wrongs
	for _, text := range typed {
		r, err := job.ParseReading(text)
		w.add(err)
		list = append(list, r)
	}
	for _, file := range lists {
		name, text, err := from.File(file)
		if err != nil {
			w.add(err)
			continue
		}
		rows, found := job.ReadReadings(name, bytes.NewReader(text))
		w.add(found.Err())
		list = append(list, rows...)
	}
	return list, w.err()
}
