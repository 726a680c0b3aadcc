package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
)

// Feed asks what the supply does to every part.
type Feed struct{}

// Ask answers.
func (Feed) Ask(ctx context.Context, from From) (*bench.FeedAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*bench.FeedAnswer, finding.List, error) { return c.Feed(ctx) })
}
