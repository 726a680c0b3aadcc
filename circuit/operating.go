package circuit

import (
	"context"
	"errors"
	"math"

	"bandwright/finding"
	"bandwright/sparse"
)

// Findings of the operating point.
const (
	// IDNoOperatingPoint: Newton found none, even ramping the rails up from
	// nothing and letting the points settle. Place: the device whose currents do not settle. ramp: the
	// share of the rails reached. Hint: look at its legs and its rail.
	IDNoOperatingPoint finding.ID = "circuit.no-operating-point"
	// IDSingular: the equations have no single answer. Place: the point or
	// part whose equation is left over. Hint: it depends on nothing, or is
	// decided twice.
	IDSingular finding.ID = "circuit.singular"
)

// operating is the direct-current solution: node volts, then branch currents
// times impedanceUnit; and each device's controlling volts.
type operating struct {
	x []float64
}

// at gives the difference of two nodes' volts; −1 is ground.
func (o operating) at(pair [2]int) float64 {
	return o.node(pair[0]) - o.node(pair[1])
}

func (o operating) node(n int) float64 {
	if n < 0 {
		return 0
	}
	return o.x[n]
}

func (o operating) controls(d device, at place) pair {
	var v pair
	controls, _ := d.ports(at)
	for j, c := range controls {
		v[j] = complex(o.at(c), 0)
	}
	return v
}

// deviceCurrent gives the current into the first terminal. Where the first
// flow runs the other way (a PNP's collector), its sign is turned.
func (o operating) deviceCurrent(d device, at place, thermal float64) float64 {
	i, _ := d.model(o.controls(d, at), realValues(d.modelValues()), thermal)
	if _, flows := d.ports(at); flows[0][0] != at.node[0] {
		return -real(i[0])
	}
	return real(i[0])
}

func (o operating) resistorCurrent(r Resistor, at place) float64 {
	if r.branches(at) == 1 {
		return o.x[at.branch] / impedanceUnit
	}
	return o.at([2]int{at.node[0], at.node[1]}) / r.Ohms
}

// newton finds the direct-current solution of one network.
type newton struct {
	net     *network
	linear  []entry
	held    []int
	drive   []term // all sources at full, terms real
	thermal float64
	devices []deviceAt
	lu      *sparse.Dense[float64]
	x, next []float64
	rough   []float64 // next before it was refined
	rhs     []float64
	hung    float64   // see settle; 0 otherwise
	anchor  []float64 // what the points hang on
}

// deviceAt is a device with the volts its junctions were last allowed to
// have.
type deviceAt struct {
	device
	at              place
	controls, flows [][2]int
	values          []complex128
	limited         pair
	amperes         pair    // at the limited volts
	slopes          [2]pair // of the currents there
	name            string
}

const (
	newtonSteps = 150
	// settled: volts (and currents across impedanceUnit) that move less than
	// this, relative and in volts, are still.
	settledRelative = 1e-12
	settledVolts    = 1e-11
	// A board that nothing but its insulation ties to ground floats by the
	// rounding of its currents over that: as far as refining moves a point, it is
	// not known better, up to this. Junctions, whose volts are differences, do
	// not float and settle as above.
	floatsVolts = 1e-6
)

func (st *State) findOperatingPoint(ctx context.Context) error {
	if err := st.checkForced(); err != nil {
		return err
	}
	n := st.newNewton()
	if err := n.solve(ctx); err != nil {
		return err
	}
	st.point.x = n.x
	return nil
}

func (st *State) newNewton() *newton {
	n := st.newPoint()
	n.lu, n.anchor = sparse.NewDense[float64](st.net.size), make([]float64, st.net.size)
	n.rhs = make([]float64, st.net.size)
	return n
}

// newPoint is a search without what its whole equations need.
func (st *State) newPoint() *newton {
	n := &newton{
		net: st.net, linear: st.linear, held: st.dcGroups.held, thermal: st.thermal(),
		x: make([]float64, st.net.size), next: make([]float64, st.net.size), rough: make([]float64, st.net.size),
	}
	for i, p := range st.net.circuit.parts {
		if d, ok := p.(device); ok {
			n.add(d, st.net.at[i])
		}
		if d, ok := p.(drive); ok {
			for _, t := range d.drive(st.net.at[i]) {
				n.drive = append(n.drive, term{row: t.row, g: t.g * d.steady()})
			}
		}
	}
	return n
}

// checkForced refuses a direct current driven into an island.
func (st *State) checkForced() error {
	var g groups
	for i, p := range st.net.circuit.parts {
		s, ok := p.(CurrentSource)
		if !ok || s.DC == 0 {
			continue
		}
		if g == nil {
			g = st.net.tied(steady, junction)
		}
		node := st.net.at[i].node
		if g.find(node[0]+1) != g.find(node[1]+1) {
			return finding.List{finding.New(IDForced, finding.Error, finding.Place{Part: s.Name}, nil)}
		}
	}
	return nil
}

func (n *newton) add(d device, at place) {
	controls, flows := d.ports(at)
	n.devices = append(n.devices, deviceAt{
		device: d, at: at, controls: controls, flows: flows,
		values: realValues(d.modelValues()), name: d.PartName(),
	})
}

// seed lets every device start where it thinks best.
func (n *newton) seed() {
	for i := range n.devices {
		d := &n.devices[i]
		d.limited = d.start(n.thermal)
	}
}

// iterate is Newton's method with the sources at a share of full. It solves
// for the new unknowns, not for their change, with each device replaced by
// its tangent at the limited volts.
func (n *newton) iterate(ctx context.Context, share float64) (settled bool, err error) {
	for range newtonSteps {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		if err := n.step(share); err != nil {
			return false, err
		}
		still := n.still()
		n.x, n.next = n.next, n.x
		if n.limit() && still {
			return true, nil
		}
	}
	return false, nil
}

func (n *newton) step(share float64) error {
	clear(n.lu.A)
	loadSteady(n.lu, n.linear, n.held)
	clear(n.rhs)
	for _, t := range n.drive {
		if t.row >= 0 {
			n.rhs[t.row] += t.g * share
		}
	}
	for node := range n.net.nodes {
		n.lu.A[node*n.lu.N+node] += n.hung
		n.rhs[node] += n.hung * n.anchor[node]
	}
	for i := range n.devices {
		n.tangent(&n.devices[i])
	}
	if err := n.lu.Factor(); err != nil {
		return n.net.singular(err)
	}
	n.lu.Solve(n.rhs, n.next)
	copy(n.rough, n.next)
	n.lu.Refine(n.rhs, n.next, false) // rails of 300 V beside junctions of millivolts
	return nil
}

// loadSteady adds the direct-current part of entries to a matrix, and the
// held nodes of its islands.
func loadSteady(lu *sparse.Dense[float64], entries []entry, held []int) {
	for _, e := range entries {
		lu.A[e.row*lu.N+e.col] += e.g
	}
	for _, node := range held {
		lu.A[node*lu.N+node]++
	}
}

// singular says which point or part a singular matrix leaves undecided.
func (n *network) singular(err error) error {
	var s *sparse.Singular
	if !errors.As(err, &s) {
		return err
	}
	return finding.List{finding.New(IDSingular, finding.Error, n.nameOf(s.Columns[0]), nil)}
}

// tangent writes a device as its conductances and the current left over.
func (n *newton) tangent(d *deviceAt) {
	i, g := d.model(d.limited, d.values, n.thermal)
	var s stamps
	for k, flow := range d.flows {
		rest := i[k]
		for j, control := range d.controls {
			s.control(flow[0], flow[1], control[0], control[1], real(g[k][j]), 0)
			rest -= g[k][j] * d.limited[j]
		}
		if flow[0] >= 0 {
			n.rhs[flow[0]] -= real(rest) * impedanceUnit
		}
		if flow[1] >= 0 {
			n.rhs[flow[1]] += real(rest) * impedanceUnit
		}
	}
	loadSteady(n.lu, s.entries, nil)
}

func (n *newton) still() bool {
	for i, was := range n.x {
		is := n.next[i]
		floats := math.Min(math.Abs(is-n.rough[i]), floatsVolts)
		if !(math.Abs(is-was) <= settledRelative*math.Max(math.Abs(is), math.Abs(was))+settledVolts+floats) {
			return false
		}
	}
	return true
}

// limit takes over each device's new volts, as far as the device lets them
// go; false means some device was held back.
func (n *newton) limit() bool {
	free := true
	for i := range n.devices {
		d := &n.devices[i]
		for j, c := range d.controls {
			wanted := n.voltage(c)
			allowed := d.limit(j, wanted, real(d.limited[j]), n.thermal)
			if math.Abs(allowed-wanted) > settledVolts+settledRelative*math.Abs(wanted) {
				free = false
			}
			d.limited[j] = complex(allowed, 0)
		}
	}
	return free
}

func (n *newton) voltage(c [2]int) float64 { return operating{n.x}.at(c) }

// restless names the device whose volts were last held back most.
func (n *newton) restless() string {
	worst, name := -1.0, ""
	for i := range n.devices {
		d := &n.devices[i]
		for j, c := range d.controls {
			if off := math.Abs(n.voltage(c) - real(d.limited[j])); off > worst {
				worst, name = off, d.name
			}
		}
	}
	return name
}
