package page

import (
	"context"
	"sync"
	"time"
)

// quiet is how long after the last short question long work still holds back:
// a hand that moves a slider asks again within a frame or two.
const quiet = 150 * time.Millisecond

// gate lets short questions go before long work: whoever waits on a slider has
// the processor to itself.
type gate struct {
	mu      sync.Mutex
	inside  int       // short questions under way
	until   time.Time // long work holds back till then
	changed chan struct{}
}

// enter begins a short question; the answer ends it.
func (g *gate) enter() (leave func()) {
	g.mu.Lock()
	g.inside++
	g.mu.Unlock()
	return func() {
		g.mu.Lock()
		defer g.mu.Unlock()
		g.inside--
		g.until = time.Now().Add(quiet)
		if g.changed != nil {
			close(g.changed)
			g.changed = nil
		}
	}
}

// hold keeps long work back while there are short questions.
func (g *gate) hold(ctx context.Context) {
	for ctx.Err() == nil {
		g.mu.Lock()
		if g.inside == 0 {
			rest := time.Until(g.until)
			g.mu.Unlock()
			if rest <= 0 {
				return
			}
			pause(ctx, rest)
			continue
		}
		if g.changed == nil {
			g.changed = make(chan struct{})
		}
		changed := g.changed
		g.mu.Unlock()
		select {
		case <-changed:
		case <-ctx.Done():
		}
	}
}

// pause waits so long, or until the context ends.
func pause(ctx context.Context, d time.Duration) {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
	case <-ctx.Done():
	}
}
