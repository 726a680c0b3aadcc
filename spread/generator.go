package spread

import (
	"encoding/binary"
	"math"
	"math/rand/v2"
)

// blockBuilds is how many builds share a generator.
const blockBuilds = 1024

// generator draws builds. Nothing is allocated after it is made.
type generator struct {
	source *rand.ChaCha8
	seed   uint64
	knobs  []drawn
	shared []float64 // by group: this build's normal score
}

// drawn is one knob as it is drawn: its normal score is common times the
// group's and own times its own, whose squares sum to one.
type drawn struct {
	sampler
	group       int // −1: of none
	common, own float64
}

func newGenerator(laws []Law, seed uint64) *generator {
	g := &generator{source: rand.NewChaCha8([32]byte{}), seed: seed}
	groups := map[string]int{}
	for _, l := range laws {
		d := drawn{sampler: l.sampler(), group: -1}
		if l.Group != "" && l.Common > 0 {
			if _, known := groups[l.Group]; !known {
				groups[l.Group] = len(groups)
			}
			d.group = groups[l.Group]
			d.common, d.own = math.Sqrt(l.Common), math.Sqrt(1-l.Common)
		}
		g.knobs = append(g.knobs, d)
	}
	g.shared = make([]float64, len(groups))
	return g
}

// begin goes to the first build of a block. ChaCha8 with seed and number as
// its key gives every block a stream independent of all others.
func (g *generator) begin(block int) {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[0:], g.seed)
	binary.LittleEndian.PutUint64(key[8:], uint64(block))
	copy(key[16:], "builds in blocks")
	g.source.Seed(key)
}

// uniform lies between 0 and 1, never at either.
func (g *generator) uniform() float64 {
	return (float64(g.source.Uint64()>>11) + 0.5) / (1 << 53)
}

// next draws one build: a value for every knob.
func (g *generator) next(values []float64) {
	for i := range g.shared {
		g.shared[i] = NormalQuantile(g.uniform())
	}
	for i := range g.knobs {
		k := &g.knobs[i]
		u := g.uniform()
		if k.group >= 0 {
			u = NormalShare(k.common*g.shared[k.group] + k.own*NormalQuantile(u))
		}
		values[i] = k.quantile(u)
	}
}
