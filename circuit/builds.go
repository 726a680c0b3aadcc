package circuit

import (
	"math"
	"reflect"

	"bandwright/sparse"
)

// BuildCount is how many builds a worker holds at once.
const BuildCount = sparse.Block

// Builds is one worker's set of BuildCount builds of an ensemble. Nothing is
// allocated after it is made.
type Builds struct {
	of      *Ensemble
	parts   [BuildCount][]Part     // the parts behind the knobs, as pointers
	knobs   [BuildCount][]*float64 // their fields
	crews   []crew                 // by setting
	slots   []buildValue           // by slot: what one entry of a part puts into its cell
	sums    []buildValue           // by sum of the ensemble
	scratch stamps
	wound   [2]winding // of the coupling being written
	Redone  int        // lanes solved again with full pivoting, in all
	Asked   int        // gains asked for, in all
}

// crew is the workspace of one setting.
type crew struct {
	worker        // for gains and slopes
	gain   worker // for gains alone, in the same lanes
	loads  []load
	sum    []*buildValue // by cell; nil: the same in every build
}

// buildValue is a value g + ω·c in every build, c split.
type buildValue struct{ g, re, im [BuildCount]float64 }

// load is one cell that the lanes must fill: alike in every build but for
// the frequency (no sum), or with values of its own.
type load struct {
	entry
	sum    *buildValue
	re, im *sparse.Vector
}

// NewBuilds makes a worker's builds, all of them nominal.
func (e *Ensemble) NewBuilds() *Builds {
	b := &Builds{of: e, slots: make([]buildValue, e.slots), sums: make([]buildValue, len(e.sums))}
	for k := range BuildCount {
		for _, i := range e.parts {
			b.parts[k] = append(b.parts[k], turnable(e.settings[0].state.net.circuit.parts[i]))
		}
		for n, knob := range e.knobs {
			b.knobs[k] = append(b.knobs[k], fieldOf(b.parts[k][e.of[n]], knob.Value))
		}
	}
	b.crews = make([]crew, len(e.settings))
	for i := range e.settings {
		b.hire(&b.crews[i], &e.settings[i])
	}
	b.Turn(BuildCount)
	return b
}

func (b *Builds) hire(c *crew, s *ensembleSetting) {
	e := b.of
	c.lanes, c.sum = s.plan.NewLanes(), make([]*buildValue, len(e.cells))
	values := e.valuesOf(s.state)
	for i, cell := range e.cells {
		if k := s.sum[i]; k >= 0 {
			c.sum[i] = &b.sums[k]
		}
		if cell.class == sparse.Const || cell.class == sparse.ConstImag {
			c.lanes.SetConst(i, values[i].g)
		}
		if re, im := c.lanes.Cell(i); re != nil || im != nil {
			c.loads = append(c.loads, load{values[i], c.sum[i], re, im})
		}
	}
	c.lanes.Fold()
	for _, p := range s.solve {
		c.solvers = append(c.solvers, c.lanes.NewSolver(p))
	}
	size := s.plan.Size()
	c.b, c.x = make([]complex128, size), make([]complex128, size)
	c.gain = worker{lanes: c.lanes, solvers: []*sparse.Solver{c.lanes.NewSolver(s.gain)}, b: c.b, x: c.x}
}

// Set turns a knob of one build. Turn must follow before the next gain.
func (b *Builds) Set(build, knob int, value float64) { *b.knobs[build][knob] = value }

// Value gives how a knob of one build is set.
func (b *Builds) Value(build, knob int) float64 { return *b.knobs[build][knob] }

// Turn carries the knobs of the first n builds into the equations.
func (b *Builds) Turn(n int) {
	for k := range n {
		b.stamp(k)
	}
	for i := range b.of.sums {
		b.sums[i].add(&b.of.sums[i], b.slots, n)
	}
}

// stamp writes what the parts of one build put into the cells.
func (b *Builds) stamp(build int) {
	e := b.of
	parts := e.settings[0].state.net.circuit.parts
	for _, s := range e.stamped {
		p, at := parts[s.part], s.at
		if s.turned >= 0 {
			p = b.parts[build][s.turned]
		}
		if coupling(at) {
			at = b.rewound(at, build)
		}
		b.scratch.entries = b.scratch.entries[:0]
		p.stamp(at, &b.scratch)
		if len(b.scratch.entries) != s.last-s.first {
			panic("circuit: a knob at 0 takes an equation away")
		}
		for i, x := range b.scratch.entries {
			if slot := e.slot[s.first+i]; slot >= 0 {
				to := &b.slots[slot]
				to.g[build], to.re[build], to.im[build] = x.g, real(x.c), imag(x.c)
			}
		}
	}
}

// add makes a sum in the first n builds, of what its class has.
func (l *buildValue) add(s *sum, slots []buildValue, n int) {
	for k := range n {
		l.g[k], l.re[k], l.im[k] = s.still.g, real(s.still.c), imag(s.still.c)
	}
	for _, slot := range s.slots {
		from := &slots[slot]
		if s.class != sparse.Imag {
			addTo(l.g[:n], from.g[:n])
			addTo(l.re[:n], from.re[:n])
		}
		if s.class != sparse.Real {
			addTo(l.im[:n], from.im[:n])
		}
	}
}

func addTo(sum, x []float64) {
	for k, v := range x {
		sum[k] += v
	}
}

// rewound gives a coupling's place with the coils of one build.
func (b *Builds) rewound(at place, build int) place {
	copy(b.wound[:], at.wound)
	for i := range b.wound {
		w := &b.wound[i]
		for n, part := range b.of.parts {
			if part == w.part {
				w.coil = *b.parts[build][n].(*Inductor)
			}
		}
	}
	at.wound = b.wound[:]
	return at
}

// Slopes gives the gain of build[i] at hz[i] at one setting, and its slope
// by hertz, for any number of pairs; the slices are alike long. False: some
// lane has no answer.
func (b *Builds) Slopes(setting int, build []int32, hz []float64, gain, byHz []complex128) bool {
	c, s := &b.crews[setting], &b.of.settings[setting]
	b.Asked += len(hz)
	for first := 0; first < len(hz); first += sparse.Block {
		n := min(sparse.Block, len(hz)-first)
		c.load(build[first:first+n], hz[first:first+n])
		c.lanes.Factor(n)
		redone, singular := c.solve(n)
		b.Redone += redone
		if singular != 0 {
			return false
		}
		c.slopes(s, build[first:first+n], gain[first:first+n], byHz[first:first+n])
	}
	return true
}

// Gains is Slopes without the slope, for what needs none: about half the work.
func (b *Builds) Gains(setting int, build []int32, hz []float64, gain []complex128) bool {
	c := &b.crews[setting]
	b.Asked += len(hz)
	for first := 0; first < len(hz); first += sparse.Block {
		n := min(sparse.Block, len(hz)-first)
		c.load(build[first:first+n], hz[first:first+n])
		c.lanes.Factor(n)
		redone, singular := c.gain.solve(n)
		b.Redone += redone
		if singular != 0 {
			return false
		}
		re, im := c.gain.solvers[0].X(0)
		for k := range n {
			gain[first+k] = complex(re[k], im[k])
		}
	}
	return true
}

// slopes is slope.at in all lanes, with each build's own cells: cell by
// cell, so that the lanes run through memory side by side.
func (c *crew) slopes(s *ensembleSetting, build []int32, gain, byHz []complex128) {
	re, im := c.solvers[0].X(s.slope.out[0])
	var sumRe, sumIm sparse.Vector
	for i := range s.slope.cells {
		cell := &s.slope.cells[i]
		xr, xi := c.solvers[0].X(cell.column)
		lr, li := c.solvers[1].X(cell.row)
		sum := c.sum[cell.cell]
		if sum == nil {
			for k := range build {
				addTriple(&sumRe, &sumIm, k, lr[k], li[k], cell.c, xr[k], xi[k])
			}
			continue
		}
		for k, n := range build {
			addTriple(&sumRe, &sumIm, k, lr[k], li[k], complex(sum.re[n], sum.im[n]), xr[k], xi[k])
		}
	}
	for k := range build {
		gain[k] = complex(re[k], im[k])
		byHz[k] = complex(-2*math.Pi*sumRe[k], -2*math.Pi*sumIm[k])
	}
}

// addTriple adds the product λ·c·x to one lane.
func addTriple(sumRe, sumIm *sparse.Vector, k int, lr, li float64, c complex128, xr, xi float64) {
	pr, pi := lr*xr-li*xi, lr*xi+li*xr
	sumRe[k] += pr*real(c) - pi*imag(c)
	sumIm[k] += pr*imag(c) + pi*real(c)
}

// load fills the lanes, each with its own build and frequency.
func (c *crew) load(build []int32, hz []float64) {
	var lanes sparse.Vector
	omega := lanes[:len(hz)]
	for k, f := range hz {
		omega[k] = 2 * math.Pi * f
	}
	inOrder := ordered(build)
	for i := range c.loads {
		l := &c.loads[i]
		switch {
		case l.sum == nil:
			l.alike(omega)
		case inOrder:
			l.inOrder(omega)
		default:
			l.among(build, omega)
		}
	}
}

// ordered says whether lane by lane is build by build, as a measure asks.
func ordered(build []int32) bool {
	for k, n := range build {
		if int(n) != k {
			return false
		}
	}
	return true
}

// alike fills a cell that only the frequency changes.
func (l *load) alike(omega []float64) {
	if l.re != nil {
		for k, w := range omega {
			l.re[k] = l.g + w*real(l.c)
		}
	}
	if l.im != nil {
		for k, w := range omega {
			l.im[k] = w * imag(l.c)
		}
	}
}

// among fills a cell with the values of any builds.
func (l *load) among(build []int32, omega []float64) {
	if l.re != nil {
		for k, n := range build {
			l.re[k] = l.sum.g[n] + omega[k]*l.sum.re[n]
		}
	}
	if l.im != nil {
		for k, n := range build {
			l.im[k] = omega[k] * l.sum.im[n]
		}
	}
}

// inOrder is among where every lane has the build of its number.
func (l *load) inOrder(omega []float64) {
	n := len(omega)
	switch {
	case l.im == nil: // no ω in it
		copy(l.re[:n], l.sum.g[:n])
		return
	case l.re != nil:
		to, g, re := l.re[:n], l.sum.g[:n], l.sum.re[:n]
		for k, w := range omega {
			to[k] = g[k] + w*re[k]
		}
	}
	to, im := l.im[:n], l.sum.im[:n]
	for k, w := range omega {
		to[k] = w * im[k]
	}
}

// turnable gives a part as a pointer to a copy of its own, which is a part
// too, so that its fields can be set in place.
func turnable(p Part) Part {
	copied := reflect.New(reflect.TypeOf(p))
	copied.Elem().Set(reflect.ValueOf(p))
	return copied.Interface().(Part)
}

// fieldOf gives a value of a turnable part by its name, nil when it has none.
func fieldOf(p Part, name string) *float64 {
	field := reflect.ValueOf(p).Elem().FieldByName(name)
	if !field.IsValid() || field.Kind() != reflect.Float64 {
		return nil
	}
	return field.Addr().Interface().(*float64)
}
