// Package bench is the only place where a job meets the engines. Open gives
// a Case; every question is a method of it, one file a question; page,
// command and paper ask the same methods and so give the same answers.
//
// A Case is never changed once opened and has many readers. It computes
// nothing itself: formulas live on the floors below.
package bench

import (
	"context"
	"io/fs"

	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
)

// Case is a job with its circuit built, ready to be asked.
//
//	func Open(ctx, name string, text []byte, files fs.FS) (*Case, finding.List)
//	func (c *Case) Job() *job.Job
//	func (c *Case) Findings() finding.List           // of the job, the circuit and the curve files
//	func (c *Case) Bands(ctx, others string) (*BandsAnswer, finding.List, error)
//	func (c *Case) Predict(ctx, set string, hz []float64) (*PredictAnswer, finding.List, error)
//	func (c *Case) Volts(ctx, set string) (*VoltsAnswer, finding.List, error)
//	func (c *Case) Noise(ctx, set string) (*NoiseAnswer, finding.List, error)
//	func (c *Case) Compare(ctx) (*CompareAnswer, finding.List, error)
//	func (c *Case) Sheet(ctx) (*SheetAnswer, finding.List, error)
//
// (the agreed surface; the doc comment shrinks when the methods stand)
type Case struct {
	job       *job.Job
	name      string
	sha256    string
	equaliser *equaliser.Equaliser
	files     fs.FS
	findings  finding.List
	ctx       context.Context
}
