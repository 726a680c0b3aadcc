package report

import (
	"io"

	"bandwright/bench"
	"bandwright/finding"
)

// NewFeed composes the feed sheet.
func NewFeed(a *bench.FeedAnswer, found finding.List, program string) *Sheet {
	return &Sheet{}
}

// FeedCSV writes.
func FeedCSV(w io.Writer, a *bench.FeedAnswer) error { return nil }

// NewPowerUp composes.
func NewPowerUp(a *bench.FirstVoltsAnswer, found finding.List, program string) *Sheet {
	return &Sheet{}
}

// PowerUpCSV writes.
func PowerUpCSV(w io.Writer, a *bench.FirstVoltsAnswer) error { return nil }
