package bench

import (
	"bytes"
	"errors"
	"io/fs"
	"path"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
)

// Findings of the job's curve files.
const (
	// IDCurveMissing: the file is not there or cannot be read. Place: file;
	// curve, why. Hint: the path is relative to the job file.
	IDCurveMissing finding.ID = "bench.curve-missing"
	// IDCurveChanged: the file's check-sum is not the job's. Place: file;
	// curve, job (its check-sum), file_sum. Hint: put the file back, or enter
	// the new check-sum if the change is meant.
	IDCurveChanged finding.ID = "bench.curve-changed"
	// IDCurveUnsummed: the job states no check-sum. Place: file; curve,
	// file_sum. Hint: enter it.
	IDCurveUnsummed finding.ID = "bench.curve-unsummed"
	// IDCurveGenerator (warning): the curve was taken through other ohms than
	// the job says. Place: file; curve, ohms, job (ohms or a word).
	IDCurveGenerator finding.ID = "bench.curve-generator"
	// IDCurveLess: a setting was taken off the curve that the circuit has not.
	// Place: file; curve, less.
	IDCurveLess finding.ID = "bench.curve-less"
)

// taken is one of the job's curves, as read.
type taken struct {
	job.Curve
	setting    curve.Setting
	curve      curve.Curve
	levelled   curve.Curve // moved in level onto its prediction, once compared
	understood curve.Understood
	less       *curve.Setting // whose take was taken off; nil: none
}

// readCurves reads every curve file of the job, those with another take taken
// off apart. A file that is missing or cannot be understood is an Error; one
// that has changed since is a Warning.
func (c *Case) readCurves() (list, less []taken, found finding.List) {
	for _, named := range c.job.Curves {
		t, wrong := c.readCurve(named)
		found = append(found, wrong...)
		switch {
		case wrong.Err() != nil:
		case t.less != nil:
			less = append(less, t)
		default:
			list = append(list, t)
		}
	}
	return list, less, found
}

func (c *Case) readCurve(named job.Curve) (taken, finding.List) {
	at := finding.Place{File: named.File}
	t := taken{Curve: named}
	var err error
	if t.setting, err = c.setting(named.Setting); err != nil {
		return t, inJob(findingsOf(err), c.name)
	}
	text, err := fs.ReadFile(c.files, path.Clean(named.File))
	if err != nil {
		return t, finding.List{finding.New(IDCurveMissing, finding.Error, at,
			finding.Args{"curve": named.Name, "why": whyMissing(err)})}
	}
	t.curve, t.understood, err = curve.Read(bytes.NewReader(text), curve.As{
		Separator: named.Read.Separator, Decimal: named.Read.Decimal,
		Frequency: named.Read.Frequency, Gain: named.Read.Gain, Phase: named.Read.Phase,
		FrequencyColumn: named.Read.FrequencyColumn, GainColumn: named.Read.GainColumn,
		PhaseColumn: named.Read.PhaseColumn,
	})
	found := placeIn(t.understood.Findings, named.File)
	if err != nil {
		return t, placeIn(findingsOf(err), named.File)
	}
	t.curve.Name, t.curve.Setting = named.Name, t.setting
	t.curve.Origin.File = named.File
	found = append(found, checkSum(named, t.understood.SHA256)...)
	return t, append(found, placeIn(c.howTaken(&t), named.File)...)
}

// howTaken takes up what a curve says of how it was taken.
func (c *Case) howTaken(t *taken) finding.List {
	said := t.curve.Origin.Taken
	if said == nil {
		return nil
	}
	var found finding.List
	if ohms, job := said.GeneratorOhms, c.job.TapIn.GeneratorHas; ohms != nil && (job == nil || float64(*job) != *ohms) {
		args := finding.Args{"curve": t.Name, "ohms": *ohms, "job": "nothing"}
		if job != nil {
			args["job"] = float64(*job)
		}
		found = append(found, finding.New(IDCurveGenerator, finding.Warning, finding.Place{}, args))
	}
	if said.Less == "" {
		return found
	}
	s, err := c.setting(said.Less)
	if err != nil {
		return append(found, finding.New(IDCurveLess, finding.Error, finding.Place{}, finding.Args{"curve": t.Name, "less": said.Less}))
	}
	t.less = &s
	return found
}

func whyMissing(err error) string {
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return "missing"
	case errors.Is(err, fs.ErrPermission):
		return "permission"
	}
	return "unreadable"
}

func checkSum(named job.Curve, sum string) finding.List {
	at := finding.Place{File: named.File}
	switch named.SHA256 {
	case sum:
		return nil
	case "":
		return finding.List{finding.New(IDCurveUnsummed, finding.Note, at,
			finding.Args{"curve": named.Name, "file_sum": sum})}
	}
	return finding.List{finding.New(IDCurveChanged, finding.Warning, at,
		finding.Args{"curve": named.Name, "job": named.SHA256, "file_sum": sum})}
}

// inJob places what is wrong with a curve's setting: in the job, whose line
// is not known here, and no column without a line.
func inJob(list finding.List, file string) finding.List {
	for i := range list {
		list[i].Place.File, list[i].Place.Column = file, 0
	}
	return list
}

// placeIn puts a file's name to findings that have none.
func placeIn(list finding.List, file string) finding.List {
	for i := range list {
		if list[i].Place.File == "" {
			list[i].Place.File = file
		}
	}
	return list
}
