package page

import (
	"context"
	"net/url"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// paper is one kind of sheet: how it is asked for, composed, and called.
type paper struct {
	name    string // of the file
	compose func(ctx context.Context, from ask.From, words url.Values) (*report.Sheet, error)
}

// papers are those that ?of= names; "" is the job sheet.
func papers() map[string]paper {
	return map[string]paper{
		"": {"job-sheet", func(ctx context.Context, from ask.From, words url.Values) (*report.Sheet, error) {
			answer, found, err := ask.Sheet{Drawer: words.Get("drawer")}.Ask(ctx, from)
			if err = cleared(found, err); err != nil {
				return nil, err
			}
			return report.New(answer.Sheet, answer.Job(), found, from.Program), nil
		}},
		"runs": {"run-sheet", func(ctx context.Context, from ask.From, words url.Values) (*report.Sheet, error) {
			return composed(report.NewRuns, from.Program)(ask.Runs{}.Ask(ctx, from))
		}},
		"ohms": {"ring-out", func(ctx context.Context, from ask.From, words url.Values) (*report.Sheet, error) {
			q := ask.StandardOhms()
			given(words, "stage", &q.Stage)
			given(words, "list", &q.List)
			return composed(report.NewOhms, from.Program)(q.Ask(ctx, from))
		}},
		"feed": {"feed-sheet", func(ctx context.Context, from ask.From, words url.Values) (*report.Sheet, error) {
			return composed(report.NewFeed, from.Program)(ask.Feed{}.Ask(ctx, from))
		}},
		"powerup": {"first-volts", func(ctx context.Context, from ask.From, words url.Values) (*report.Sheet, error) {
			q := ask.PowerUp{Stage: words.Get("stage"), Rail: words.Get("rail"), Mains: words.Get("mains"), Skip: words["skip"]}
			return composed(report.NewPowerUp, from.Program)(q.Ask(ctx, from))
		}},
	}
}

// given puts a word into a field that has a standard.
func given(words url.Values, key string, into *string) {
	if words.Has(key) {
		*into = words.Get(key)
	}
}

// cleared is what stands in the way of a sheet: the error, or one among the
// findings.
func cleared(found finding.List, err error) error {
	if err != nil {
		return err
	}
	return found.Err()
}

// composed makes a sheet of an answer.
func composed[A any](compose func(*A, finding.List, string) *report.Sheet, program string) func(*A, finding.List, error) (*report.Sheet, error) {
	return func(answer *A, found finding.List, err error) (*report.Sheet, error) {
		if err = cleared(found, err); err != nil {
			return nil, err
		}
		return compose(answer, found, program), nil
	}
}
