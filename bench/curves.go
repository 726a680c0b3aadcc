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
)

// taken is one of the job's curves, as read.
type taken struct {
	job.Curve
	setting    curve.Setting
	curve      curve.Curve
	levelled   curve.Curve // moved in level onto its prediction, once compared
	understood curve.Understood
}

// readCurves reads every curve file of the job. A file that is missing or
// cannot be understood is an Error; one that has changed since is a Warning.
func (c *Case) readCurves() ([]taken, finding.List) {
	var list []taken
	var found finding.List
	for _, named := range c.job.Curves {
		t, wrong := c.readCurve(named)
		found = append(found, wrong...)
		if wrong.Err() == nil {
			list = append(list, t)
		}
	}
	return list, found
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
	return t, append(found, checkSum(named, t.understood.SHA256)...)
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
