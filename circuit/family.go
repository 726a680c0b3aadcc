package circuit

import (
	"context"
	"maps"
	"math"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
)

// Family is a circuit at one setting with many edits of it in view. The
// equations of an edited circuit differ from its own in a few rows, so the
// inverse of its matrix, found once at each frequency, answers for all of them
// by the formula of Sherman, Morrison and Woodbury (Woodbury 1950; memory): with
// A' = A + E·D, E picking the rows that differ,
//
//	A'⁻¹ = A⁻¹ − A⁻¹·E·D·(I + A⁻¹·E·D)⁻¹·A⁻¹
//
// where only the columns that D has are solved for. The operating point is
// found anew where an edit moves it, and the devices' conductances then differ
// as the parts do.
//
// Unknowns have the same number in every member: some nodes and currents are
// spare, for the points and branches that an edit adds.
type Family struct {
	base    *State
	load    []Part
	knobs   []Knob
	slopes  []valueSlope     // by knob; without part where it has no effect
	direct  inverse[float64] // of the direct-current equations
	omegas  []float64
	inverse []inverse[complex128] // of the signals', by frequency
	signal  islands
	given   [2][][]complex128 // the base's answers to the plan's question and its adjoint
	out     []term
	kin     *Family // the first of those numbered alike; see Kin
	less    []entry // the devices' conductances at the base's point, taken off
}

// Room for what an edit adds.
const (
	spareNodes    = 8
	spareBranches = 12
)

// FamilyPlan says what a family is asked for.
type FamilyPlan struct {
	Kelvin float64   // 0 means DefaultKelvin
	Hz     []float64 // where Gains answers; none: it does not
	Knobs  []Knob    // what answers are derived by
	Load   []Part    // an instrument's input, in the base and every member
	Source string    // of Gains
	Red    string    // where Gains are taken; Black: against which point
	Black  string
}

// Family solves the circuit at a setting for comparison with edits of it. The
// error is a finding.List, as of Solve. Wires and contacts of 0 ohm that an edit
// touches must be given ohms first: see WithOhms.
func (c *Circuit) Family(ctx context.Context, s curve.Setting, plan FamilyPlan) (*Family, error) {
	loaded, err := New(slices.Concat(c.parts, plan.Load)...)
	if err != nil {
		return nil, err
	}
	net, err := loaded.placeWith(s, nil, spareNodes)
	if err != nil {
		return nil, err
	}
	net.size += spareBranches
	if err := net.checkLoops().Err(); err != nil {
		return nil, atSetting(err, s)
	}
	f := &Family{load: plan.Load, knobs: plan.Knobs, base: &State{net: net, kelvin: plan.Kelvin}}
	f.kin = f
	if f.base.kelvin == 0 {
		f.base.kelvin = DefaultKelvin
	}
	f.base.linear = net.stampAll()
	for i := range spareBranches {
		at := net.size - spareBranches + i
		f.base.linear = append(f.base.linear, entry{row: at, col: at, g: 1})
	}
	f.base.dcGroups = net.islandsOf(net.tied(steady, junction))
	f.signal = net.islandsOf(net.tied(steady, signal, junction))
	if err := f.base.findOperatingPoint(ctx); err != nil {
		return nil, atSetting(err, s)
	}
	if err := f.invert(ctx, plan.Hz); err != nil {
		return nil, atSetting(err, s)
	}
	f.slopes = f.base.slopesOf(f.knobs)
	if len(plan.Hz) > 0 {
		return f, f.prepare(plan)
	}
	return f, nil
}

// Dead gives the circuit as an ohmmeter meets it, without its power: see Ohms,
// for a meter that opens no junction. What Edited has changed stays known.
func (c *Circuit) Dead(off PowerOff) (*Circuit, error) {
	parts, err := c.powerOff(off)
	if err != nil {
		return nil, err
	}
	dead, err := New(parts...)
	if err != nil {
		return nil, err
	}
	dead.changed = c.changed
	return dead, nil
}

// invert finds the inverses.
func (f *Family) invert(ctx context.Context, hz []float64) error {
	var s stamps
	f.base.smallSignal(&s)
	still := slices.Concat(f.base.linear, s.entries)
	f.less = negated(s.entries)
	var err error
	if f.direct, err = inverted(f.base.net, still, f.base.dcGroups.held, func(e entry) float64 { return e.g }); err != nil {
		return err
	}
	for _, v := range hz {
		if err := ctx.Err(); err != nil {
			return err
		}
		omega := 2 * math.Pi * v
		inv, err := inverted(f.base.net, still, f.signal.held, func(e entry) complex128 { return e.at(omega) })
		if err != nil {
			return err
		}
		f.omegas, f.inverse = append(f.omegas, omega), append(f.inverse, inv)
	}
	return nil
}

// slopesOf gives what each knob does to a state's equations.
func (st *State) slopesOf(knobs []Knob) []valueSlope {
	list := make([]valueSlope, len(knobs))
	for k, knob := range knobs {
		i, ok := st.net.circuit.byName[knob.Part]
		if !ok {
			continue
		}
		v := valueSlope{part: knob.Part, value: knob.Value}
		if st.slopeOf(i, knob.Value, &v) {
			list[k] = v
		}
	}
	return list
}

// Member is one edited circuit of a family. One goroutine at a time may ask it.
type Member struct {
	family *Family
	edited *Circuit
	st     *State
	moved  bool   // the operating point is not the family's
	joined groups // nodes that direct current can pass between
	held   []int  // nodes that no signal reaches
	touch  []string
	own    []entry // linear equations beyond the base's
	plus   []entry // the devices' conductances; of touched ones where nothing has moved
	direct change
	signal change
	still  *solution[float64] // of the direct-current equations, once asked for
	sound  bool               // they have an answer
	room   [3][]float64
	slopes []valueSlope
	// derived says that slopes are there
	derived bool
}

// Member puts an edited circuit of the family's own into it. like, if not nil,
// is the same edited circuit in a family at another setting, whose operating
// point is tried first, and of kin much else is taken over. The error names what
// has no answer, with its place.
func (f *Family) Member(ctx context.Context, edited *Circuit, like *Member) (*Member, error) {
	m := &Member{family: f, edited: edited}
	related := like != nil && like.edited == edited && like.family.kin == f.kin
	if related {
		m.takeAfter(like)
	} else {
		m.touch = f.touched(edited)
		m.st = &State{net: f.join(edited, m.touch), kelvin: f.base.kelvin}
		m.joined = m.st.net.tied(steady, junction)
		m.st.dcGroups = m.st.net.islandsOf(m.joined)
		m.held = m.st.net.islandsOf(m.st.net.tied(steady, signal, junction)).held
		m.own = m.difference()
		for i := range m.joined {
			m.joined[i] = m.joined.find(i) // from here on only read
		}
	}
	if m.moved = !m.rests(); m.moved {
		if err := m.settle(ctx, like, related); err != nil {
			return nil, atSetting(err, f.base.Setting())
		}
	} else {
		m.st.point = f.base.point
	}
	var was *Member
	if related && like.moved == m.moved {
		was = like
	}
	m.changes(was)
	return m, nil
}

// touched names the parts that differ from the base's; of a coil that does, its
// couplings do too.
func (f *Family) touched(edited *Circuit) []string {
	names := slices.Clone(edited.changed)
	for _, p := range edited.parts {
		if c, ok := p.(Coupling); ok && (slices.Contains(names, c.First) || slices.Contains(names, c.Second)) {
			names = append(names, c.Name)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// join numbers an edited circuit as the family is numbered.
func (f *Family) join(edited *Circuit, touched []string) *network {
	base := f.base.net
	parts := edited.parts
	if len(f.load) > 0 {
		parts = slices.Concat(parts, f.load)
	}
	n := &network{
		circuit: &Circuit{parts: parts, byName: edited.byName, points: edited.points, switches: edited.switches},
		setting: base.setting, node: base.node, nodes: base.nodes, size: base.size,
		at: make([]place, len(parts)),
	}
	n.nameSpares(edited, touched)
	branch := base.size - spareBranches
	for i, p := range parts {
		j, old := base.circuit.byName[p.PartName()]
		_, changed := slices.BinarySearch(touched, p.PartName())
		if old && !changed {
			n.at[i] = base.at[j]
			n.at[i].wound = nil
			continue
		}
		at := n.locate(p, n.setting, nil)
		needs := p.branches(at)
		if old && base.circuit.parts[j].branches(base.at[j]) >= needs {
			at.branch = base.at[j].branch
		} else {
			at.branch, branch = branch, branch+needs
		}
		n.at[i] = at
	}
	if branch > base.size {
		panic("circuit: more edits at once than a family has room for")
	}
	n.wind()
	return n
}

// nameSpares gives the points that an edit has added the spare nodes.
func (n *network) nameSpares(edited *Circuit, touched []string) {
	next, own := n.nodes-spareNodes, false
	for _, name := range touched {
		i, ok := edited.byName[name]
		if !ok {
			continue
		}
		for _, point := range edited.parts[i].Terminals() {
			if _, known := n.node[point]; known {
				continue
			}
			if !own {
				n.node, own = maps.Clone(n.node), true
			}
			if next == n.nodes {
				panic("circuit: more edits at once than a family has room for")
			}
			n.node[point] = next
			next++
		}
	}
}

// difference gives the linear equations of the member less those of the base.
func (m *Member) difference() []entry {
	base, mine := m.family.base.net, m.st.net
	var minus, plus stamps
	idle := map[int]float64{}
	for _, name := range m.touch {
		if i, ok := base.circuit.byName[name]; ok {
			p := base.circuit.parts[i]
			p.stamp(base.at[i], &minus)
			for k := range p.branches(base.at[i]) {
				idle[base.at[i].branch+k]++
			}
		}
		if i, ok := mine.circuit.byName[name]; ok {
			p := mine.circuit.parts[i]
			p.stamp(mine.at[i], &plus)
			for k := range p.branches(mine.at[i]) {
				idle[mine.at[i].branch+k]--
			}
		}
	}
	plus.entries = append(plus.entries, negated(minus.entries)...)
	for _, at := range slices.Sorted(maps.Keys(idle)) {
		if idle[at] != 0 {
			plus.entries = append(plus.entries, entry{row: at, col: at, g: idle[at]})
		}
	}
	return plus.entries
}

// unlike gives what held nodes add and take.
func unlike(base, mine []int) []entry {
	var list []entry
	for _, node := range mine {
		if !slices.Contains(base, node) {
			list = append(list, entry{row: node, col: node, g: 1})
		}
	}
	for _, node := range base {
		if !slices.Contains(mine, node) {
			list = append(list, entry{row: node, col: node, g: -1})
		}
	}
	return list
}

// Unmoved says that the operating point is that of the circuit without the edit.
func (m *Member) Unmoved() bool { return !m.moved }

// prepare finds the base's own answers to the one question that Gains puts.
func (f *Family) prepare(plan FamilyPlan) error {
	b, err := f.base.sourceTerms(plan.Source)
	if err != nil {
		return err
	}
	if err := f.base.net.circuit.checkPoints(plan.Red, plan.Black); err != nil {
		return err
	}
	red, black := f.base.net.node[plan.Red], f.base.net.node[plan.Black]
	e := kept([]term{{row: red, g: 1}, {row: black, g: -1}})
	if len(e) == 0 {
		return finding.List{finding.New(IDNoPoint, finding.Error, finding.Place{Point: plan.Red}, nil)}
	}
	x, z := make([][]complex128, len(f.omegas)), make([][]complex128, len(f.omegas))
	for k, inv := range f.inverse {
		x[k], z[k] = summed(inv.cols, f.base.net.size, b), summed(inv.rows, f.base.net.size, e)
	}
	f.given, f.out = [2][][]complex128{x, z}, e
	return nil
}

// summed is A⁻¹·b from the inverse by columns, A⁻ᵀ·b from that by rows.
func summed(inverse []complex128, n int, b []term) []complex128 {
	x := make([]complex128, n)
	for _, t := range b {
		for i, v := range inverse[t.row*n : t.row*n+n] {
			x[i] += v * complex(t.g, 0)
		}
	}
	return x
}
