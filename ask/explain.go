package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/report"
)

// Explain asks why one side differs from another: "stated", "predicted" or a
// unit.
type Explain struct {
	From string `json:"from"` // "": the original, else what is predicted
	To   string `json:"to"`   // "": every measured unit
	Set  string `json:"set"`  // share the difference of the curves at this setting out too; "": none
}

// ExplainAnswer is the accounts, and each band of them in a sentence.
type ExplainAnswer struct {
	bench.ExplainAnswer
	Sentences [][]string `json:"sentences"` // by account and band
}

// Ask answers.
func (q Explain) Ask(ctx context.Context, from From) (*ExplainAnswer, finding.List, error) {
	accounts, found, err := plainly(ctx, from, func(c *bench.Case) (*bench.ExplainAnswer, finding.List, error) {
		return c.Explain(ctx, bench.ExplainQuestion{From: q.From, To: q.To, Set: q.Set})
	})
	if accounts == nil {
		return nil, found, err
	}
	a := &ExplainAnswer{ExplainAnswer: *accounts}
	for _, account := range accounts.Accounts {
		a.Sentences = append(a.Sentences, report.Sentences(account))
	}
	return a, found, err
}
