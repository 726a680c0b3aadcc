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
	values [][BuildCount]cellValue // by varying cell, by build
}

// load is one cell that the lanes must fill: alike in every build but for
// the frequency (place < 0), or with values of its own.
type load struct {
	entry
	place  int
	re, im *sparse.Vector
}

type cellValue struct {
	g float64
	c complex128
}

// NewBuilds makes a worker's builds, all of them nominal.
func (e *Ensemble) NewBuilds() *Builds {
	b := &Builds{of: e}
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
		b.crews[i].hire(e, &e.settings[i])
	}
	b.Turn(BuildCount)
	return b
}

func (c *crew) hire(e *Ensemble, s *ensembleSetting) {
	c.lanes = s.plan.NewLanes()
	values := e.valuesOf(s.state)
	for i, cell := range e.cells {
		if cell.class == sparse.Const || cell.class == sparse.ConstImag {
			c.lanes.SetConst(i, values[i].g)
		}
		if re, im := c.lanes.Cell(i); re != nil || im != nil {
			c.loads = append(c.loads, load{values[i], cell.place, re, im})
		}
	}
	c.lanes.Fold()
	for _, p := range s.solve {
		c.solvers = append(c.solvers, c.lanes.NewSolver(p))
	}
	size := s.plan.Size()
	c.b, c.x = make([]complex128, size), make([]complex128, size)
	c.gain = worker{lanes: c.lanes, solvers: []*sparse.Solver{c.lanes.NewSolver(s.gain)}, b: c.b, x: c.x}
	c.values = make([][BuildCount]cellValue, len(s.still))
}

// Set turns a knob of one build. Turn must follow before the next gain.
func (b *Builds) Set(build, knob int, value float64) { *b.knobs[build][knob] = value }

// Turn carries the knobs of the first n builds into the equations. What is
// alike at every setting is written once; only the sliders stand differently.
func (b *Builds) Turn(n int) {
	for k := range n {
		b.scratch.entries = b.scratch.entries[:0]
		b.stampAlike(k)
		for i := range b.crews {
			b.scratch.entries = b.scratch.entries[:b.of.alike]
			b.stampSliders(i, k)
			b.crews[i].turn(&b.of.settings[i], k, b.scratch.entries)
		}
	}
}

// stampAlike writes the parts behind the knobs and the couplings of their
// coils, but no slider.
func (b *Builds) stampAlike(build int) {
	st, next := b.of.settings[0].state, 0
	for i, p := range st.net.circuit.parts {
		at := st.net.at[i]
		if next < len(b.of.parts) && b.of.parts[next] == i {
			p = b.parts[build][next]
			next++
		} else if !(coupling(at) && b.of.moving(st, i)) {
			continue
		}
		if b.of.slider[i] {
			continue
		}
		if coupling(at) {
			at = b.rewound(at, build)
		}
		p.stamp(at, &b.scratch)
	}
}

// stampSliders writes the sliders where one setting has them.
func (b *Builds) stampSliders(setting, build int) {
	st, next := b.of.settings[setting].state, 0
	for i, p := range st.net.circuit.parts {
		if next < len(b.of.parts) && b.of.parts[next] == i {
			p = b.parts[build][next]
			next++
		}
		if b.of.slider[i] {
			p.stamp(st.net.at[i], &b.scratch)
		}
	}
}

// turn takes one build's entries into the cells.
func (c *crew) turn(s *ensembleSetting, build int, entries []entry) {
	if len(entries) != len(s.route) {
		panic("circuit: a knob at 0 takes an equation away")
	}
	for i, x := range s.still {
		c.values[i][build] = cellValue{x.g, x.c}
	}
	for i, x := range entries {
		if k := s.route[i]; k >= 0 {
			c.values[k][build].g += x.g
			c.values[k][build].c += x.c
		}
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
		place := s.place[cell.cell]
		if place < 0 {
			for k := range build {
				addTriple(&sumRe, &sumIm, k, lr[k], li[k], cell.c, xr[k], xi[k])
			}
			continue
		}
		values := &c.values[place]
		for k, n := range build {
			addTriple(&sumRe, &sumIm, k, lr[k], li[k], values[n].c, xr[k], xi[k])
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
	var omega sparse.Vector
	for k, f := range hz {
		omega[k] = 2 * math.Pi * f
	}
	for i := range c.loads {
		l := &c.loads[i]
		if l.place < 0 {
			l.alike(omega[:len(hz)])
			continue
		}
		values := &c.values[l.place]
		if l.re != nil {
			for k, n := range build {
				l.re[k] = values[n].g + omega[k]*real(values[n].c)
			}
		}
		if l.im != nil {
			for k, n := range build {
				l.im[k] = omega[k] * imag(values[n].c)
			}
		}
	}
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
