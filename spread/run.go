package spread

import (
	"context"
	"slices"
	"strings"
	"sync"
	"sync/atomic"

	"bandwright/circuit"
	"bandwright/finding"
)

// Run makes the builds and sums them up. When the context ends it stops within
// a block and gives what it has: the same answer, to the byte, as a plan
// for as many builds; before the first block is done that is the context's
// error. The error of a plan that cannot be run is a finding.List.
func Run(ctx context.Context, p Plan) (*Result, finding.List, error) {
	names := p.Measure().Figures()
	if err := p.check(names).Err(); err != nil {
		return nil, nil, err
	}
	r := newRun(p, names)
	r.measure(ctx)
	// Blocks end in any order. Only those before the first that is missing count,
	// else what a stopped run gives would hang on how its workers were
	// scheduled.
	builds := r.whole()
	if builds == 0 {
		return nil, nil, ctx.Err()
	}
	// One build more, which a stopped run still owes its answer.
	nominal, err := p.measureAt(context.WithoutCancel(ctx), [][]float64{p.nominal()})
	if err != nil {
		return nil, nil, err
	}
	result, found := r.sumUp(builds, nominal)
	return result, found, nil
}

// check looks for what a person may have asked wrongly.
func (p Plan) check(names []string) finding.List {
	if len(p.Laws) != len(p.Ensemble.Knobs()) {
		panic("spread: a law is needed for every knob")
	}
	var found finding.List
	if p.Count < 1 || p.Count > MostBuilds {
		found = append(found, finding.New(IDCount, finding.Error, finding.Place{}, finding.Args{"builds": p.Count, "most": MostBuilds}))
	}
	found = append(found, p.checkLaws()...)
	for _, l := range p.Limits {
		if !slices.Contains(names, l.Figure) {
			found = append(found, finding.New(IDNoFigure, finding.Error, finding.Place{},
				finding.Args{"figure": l.Figure, "known": strings.Join(names, ", ")}))
		}
		if !(l.Low <= l.High) {
			found = append(found, finding.New(IDBadLimit, finding.Error, finding.Place{},
				finding.Args{"figure": l.Figure, "low": readable(l.Low), "high": readable(l.High)}))
		}
	}
	for _, percent := range p.Percents {
		if !(percent >= 0 && percent <= 100) {
			found = append(found, finding.New(IDBadPercent, finding.Error, finding.Place{}, finding.Args{"percent": readable(percent)}))
		}
	}
	return found
}

func (p Plan) checkLaws() finding.List {
	var found finding.List
	for i, l := range p.Laws {
		if wrong := l.wrong(); wrong != "" {
			k := p.Ensemble.Knobs()[i]
			found = append(found, finding.New(IDBadLaw, finding.Error, finding.Place{Part: k.Part},
				finding.Args{"value": k.Value, "wrong": wrong}))
		}
	}
	return found
}

// run is one sampling under way. Workers write to places of their own in values
// and blocks; what they all write is behind mu.
type run struct {
	plan   Plan
	names  []string
	values [][]float64 // by figure, by build
	blocks []block
	next   atomic.Int64

	mu   sync.Mutex // guards what follows
	done int        // builds
}

// block is what is known of a block of builds beside its figures.
type block struct {
	done          bool
	asked, redone int
}

func newRun(p Plan, names []string) *run {
	r := &run{plan: p, names: names, blocks: make([]block, (p.Count+blockBuilds-1)/blockBuilds)}
	for range names {
		r.values = append(r.values, make([]float64, p.Count))
	}
	return r
}

// measure lets the workers take blocks until none is left or ctx ends.
func (r *run) measure(ctx context.Context) {
	together(min(max(r.plan.Workers, 1), len(r.blocks)), func() { r.work(ctx) })
}

func (r *run) work(ctx context.Context) {
	w := newWorker(r)
	for ctx.Err() == nil {
		// Whoever is free takes the next block: which worker makes it changes
		// nothing in it.
		n := int(r.next.Add(1)) - 1
		if n >= len(r.blocks) {
			return
		}
		w.block(n)
		r.report(n)
	}
}

// report notes a block and says how far the run is.
func (r *run) report(n int) {
	r.mu.Lock()
	defer r.mu.Unlock()
	r.blocks[n].done = true
	r.done += min(blockBuilds, r.plan.Count-n*blockBuilds)
	if r.plan.Progress != nil {
		r.plan.Progress(r.done, r.plan.Count)
	}
}

// whole counts the builds before the first that is missing.
func (r *run) whole() int {
	for n, b := range r.blocks {
		if !b.done {
			return n * blockBuilds
		}
	}
	return r.plan.Count
}

// worker is one goroutine's workspace. Nothing is allocated after it is made.
type worker struct {
	run     *run
	builds  *circuit.Builds
	measure circuit.Measure
	draw    *generator
	knobs   []float64
	figures [][circuit.BuildCount]float64
}

func newWorker(r *run) *worker {
	return &worker{
		run: r, builds: r.plan.Ensemble.NewBuilds(), measure: r.plan.Measure(),
		draw:    newGenerator(r.plan.Laws, r.plan.Seed),
		knobs:   make([]float64, len(r.plan.Laws)),
		figures: make([][circuit.BuildCount]float64, len(r.names)),
	}
}

// block draws and measures one block of builds, as many at a time as an
// ensemble holds side by side. The grouping is fixed by the build's number, so
// that builds that share a search share it on every machine.
func (w *worker) block(number int) {
	asked, redone := w.builds.Asked, w.builds.Redone
	w.draw.begin(number)
	last := min((number+1)*blockBuilds, w.run.plan.Count)
	for first := number * blockBuilds; first < last; first += circuit.BuildCount {
		n := min(circuit.BuildCount, last-first)
		for k := range n {
			w.draw.next(w.knobs)
			for i, v := range w.knobs {
				w.builds.Set(k, i, v)
			}
		}
		w.builds.Turn(n)
		w.measure.Take(w.builds, n, w.figures)
		for f := range w.figures {
			copy(w.run.values[f][first:last], w.figures[f][:n])
		}
	}
	w.run.blocks[number].asked = w.builds.Asked - asked
	w.run.blocks[number].redone = w.builds.Redone - redone
}

// nominal is the build with every knob at its law's nominal.
func (p Plan) nominal() []float64 {
	knobs := make([]float64, len(p.Laws))
	for i, l := range p.Laws {
		knobs[i] = l.Nominal
	}
	return knobs
}

// measureAt measures builds with given knobs: figures by figure, by build; NaN
// for none. Groups of builds side by side go to the workers; which of them
// measures a group changes nothing in it.
func (p Plan) measureAt(ctx context.Context, knobs [][]float64) ([][]float64, error) {
	figures := make([][]float64, len(p.Measure().Figures()))
	for f := range figures {
		figures[f] = make([]float64, len(knobs))
	}
	groups := (len(knobs) + circuit.BuildCount - 1) / circuit.BuildCount
	var next atomic.Int64
	work := func() {
		builds, measure := p.Ensemble.NewBuilds(), p.Measure()
		taken := make([][circuit.BuildCount]float64, len(figures))
		for first := 0; ctx.Err() == nil; {
			if first = (int(next.Add(1)) - 1) * circuit.BuildCount; first >= len(knobs) {
				return
			}
			n := min(circuit.BuildCount, len(knobs)-first)
			for k := range n {
				for i, v := range knobs[first+k] {
					builds.Set(k, i, v)
				}
			}
			builds.Turn(n)
			measure.Take(builds, n, taken)
			for f := range taken {
				copy(figures[f][first:], taken[f][:n])
			}
		}
	}
	together(min(max(p.Workers, 1), max(groups, 1)), work)
	return figures, ctx.Err()
}

// together runs some work on as many goroutines and waits for all. A panic of
// one becomes one of the caller.
func together(workers int, work func()) {
	var all sync.WaitGroup
	var failed atomic.Pointer[any]
	for range workers {
		all.Go(func() {
			defer func() {
				if f := recover(); f != nil {
					failed.Store(&f)
				}
			}()
			work()
		})
	}
	all.Wait()
	if f := failed.Load(); f != nil {
		panic(*f)
	}
}
