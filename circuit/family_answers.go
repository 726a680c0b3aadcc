package circuit

import (
	"context"
	"math"
	"slices"

	"bandwright/sparse"
)

// Answer is a number with its derivative by every knob of the family.
type Answer struct {
	Value float64
	None  bool      // no path, no direct current, no signal: no number
	By    []float64 // nil: nothing is derived
}

// solution is a member's equations at one frequency.
type solution struct {
	n       int
	inverse inverse
	omega   float64
	change  *change
	lu      *sparse.Dense[complex128] // nil: nothing differs
	d       []complex128              // the change, by cell
	reach   []complex128              // one row of the inverse, where rows differ
	y, w    []complex128
	sound   bool // of the direct-current equations: there is an answer
}

func (m *Member) newSolution(c *change) *solution {
	s := &solution{n: m.st.net.size, change: c}
	if k := len(c.cols); k > 0 {
		s.lu = sparse.NewDense[complex128](k)
		s.d, s.reach = make([]complex128, len(c.cells)), make([]complex128, len(c.rows))
		s.y, s.w = make([]complex128, k), make([]complex128, len(c.rows))
	}
	return s
}

// at turns to a frequency; false: the equations have no single answer there.
func (s *solution) at(inv inverse, omega float64) bool {
	s.inverse, s.omega = inv, omega
	if s.lu == nil {
		return true
	}
	k := len(s.change.cols)
	for i, e := range s.change.cells {
		s.d[i] = e.at(omega)
	}
	for a, col := range s.change.cols {
		row := s.lu.A[a*k : a*k+k]
		clear(row)
		row[a] = 1
		for r, at := range s.change.rows {
			s.reach[r] = inv.rows[col*s.n+at]
		}
		for i, e := range s.change.cells {
			row[e.col] += s.reach[e.row] * s.d[i]
		}
	}
	return s.lu.Factor() == nil
}

// forward turns the base's solution into the member's.
func (s *solution) forward(base, x []complex128) {
	copy(x, base)
	if s.lu == nil {
		return
	}
	s.weigh(base)
	for r, at := range s.change.rows {
		w := s.w[r]
		for i, v := range s.inverse.cols[at*s.n : at*s.n+s.n] {
			x[i] -= v * w
		}
	}
}

// weigh finds by how much of each row's inverse a solution of the base is off.
func (s *solution) weigh(base []complex128) {
	for a, col := range s.change.cols {
		s.y[a] = base[col]
	}
	s.lu.Solve(s.y, s.y)
	clear(s.w)
	for i, e := range s.change.cells {
		s.w[e.row] += s.d[i] * s.y[e.col]
	}
}

// taken is what some unknowns of the member's solution sum to, at less work than
// all of it.
func (s *solution) taken(out []term, base []complex128) complex128 {
	sum := dot(out, base, 0)
	if s.lu == nil {
		return sum
	}
	s.weigh(base)
	for _, t := range out {
		row := s.inverse.rows[t.row*s.n : t.row*s.n+s.n]
		for r, at := range s.change.rows {
			sum -= complex(t.g, 0) * row[at] * s.w[r]
		}
	}
	return sum
}

// backward turns the base's solution of the transposed equations.
func (s *solution) backward(base, z []complex128) {
	copy(z, base)
	if s.lu == nil {
		return
	}
	clear(s.y)
	for i, e := range s.change.cells {
		s.y[e.col] += s.d[i] * base[s.change.rows[e.row]]
	}
	s.lu.SolveTransposed(s.y, s.y)
	for a, col := range s.change.cols {
		y := s.y[a]
		for j, v := range s.inverse.rows[col*s.n : col*s.n+s.n] {
			z[j] -= v * y
		}
	}
}

// Gains gives the decibels of the plan's gain at its frequencies, the operating
// point following every knob.
func (m *Member) Gains() []Answer { return Gains([]*Member{m})[0] }

// Gains is Member.Gains of several members of one family, frequency by frequency:
// every inverse is gone through once.
func Gains(members []*Member) [][]Answer {
	list := make([][]Answer, len(members))
	if len(members) == 0 {
		return list
	}
	f := members[0].family
	heard := make([]*hearing, len(members))
	for i, m := range members {
		if m.family != f {
			panic("circuit: members of two families asked at once")
		}
		heard[i] = m.hear()
		list[i] = heard[i].list
	}
	x, z := make([]complex128, f.base.net.size), make([]complex128, f.base.net.size)
	for k := range f.omegas {
		for _, h := range heard {
			h.at(k, x, z)
		}
	}
	return list
}

// hearing is a member whose gains are being asked for.
type hearing struct {
	*Member
	s       *solution
	list    []Answer
	by      []float64
	bias    []biasMove
	changes []complex128
}

func (m *Member) hear() *hearing {
	m.derive()
	f := m.family
	h := &hearing{Member: m, s: m.newSolution(&m.signal), list: make([]Answer, len(f.omegas))}
	if len(m.slopes) > 0 {
		h.by = make([]float64, len(f.omegas)*len(f.knobs))
		h.bias = m.biasMoves()
		h.changes = make([]complex128, len(h.bias))
	}
	return h
}

// at answers at one frequency; x and z are room.
func (h *hearing) at(k int, x, z []complex128) {
	f, omega := h.family, h.family.omegas[k]
	h.list[k].None = true
	if !h.s.at(f.inverse[k], omega) {
		return
	}
	if len(h.slopes) == 0 {
		if db, ok := shown(h.s.taken(f.out, f.given[0][k])); ok {
			h.list[k] = Answer{Value: db}
		}
		return
	}
	h.s.forward(f.given[0][k], x)
	gain := dot(f.out, x, 0)
	db, ok := shown(gain)
	if !ok {
		return
	}
	h.s.backward(f.given[1][k], z)
	h.list[k] = Answer{Value: db, By: h.by[k*len(f.knobs):][:len(f.knobs):len(f.knobs)]}
	h.derive(h.list[k].By, x, z, omega, gain)
}

// derive gives the derivatives of a gain in decibels from its two solutions.
func (h *hearing) derive(by []float64, x, z []complex128, omega float64, gain complex128) {
	for c, moves := range h.bias {
		h.changes[c] = -product(moves.signal, x, z, 0)
	}
	per := complex(20/math.Ln10, 0) / gain
	for n := range h.slopes {
		d := -h.slopes[n].product(x, z, omega)
		for c := range h.bias {
			if by := h.bias[c].by[n]; by != 0 {
				d -= complex(real(h.changes[c])*by, imag(h.changes[c])*by)
			}
		}
		by[n] = real(d)*real(per) - imag(d)*imag(per)
	}
}

// shown gives a gain in decibels; false: there is no number.
func shown(gain complex128) (db float64, ok bool) {
	db, ok = Decibels(gain)
	return db, ok && !math.IsNaN(db) && !math.IsInf(db, 0)
}

// Underived is the member whose answers are derived by nothing, at half the work.
func (m *Member) Underived() *Member {
	plain := *m
	plain.slopes, plain.derived = nil, true
	return &plain
}

// product is that of the signal's entries. An admittance between two nodes (the
// four entries that admit writes) is one number between two differences.
func (v *valueSlope) product(x, lambda []complex128, omega float64) complex128 {
	if !v.between {
		return product(v.signal, x, lambda, omega)
	}
	a, b := v.signal[0].row, v.signal[3].row
	return v.signal[0].at(omega) * (lambda[a] - lambda[b]) * (x[a] - x[b])
}

// admits says whether entries are an admittance between two nodes.
func admits(entries []entry) bool {
	if len(entries) != 4 {
		return false
	}
	e, a, b := entries[0], entries[0].row, entries[3].row
	return e.col == a && entries[3].col == b && entries[1].row == a && entries[1].col == b && entries[2].row == b && entries[2].col == a &&
		entries[1].g == -e.g && entries[2].g == -e.g && entries[3].g == e.g &&
		entries[1].c == -e.c && entries[2].c == -e.c && entries[3].c == e.c
}

// biasMove is one controlling voltage of a device: what it does to the signals'
// equations, and how far each knob moves it (less the sign; see bias).
type biasMove struct {
	signal []entry
	by     []float64
}

// biasMoves gives them for all devices: for each controlling voltage one solution
// of the transposed direct-current equations.
func (m *Member) biasMoves() []biasMove {
	if len(m.slopes) == 0 {
		return nil
	}
	s := m.steady()
	if s == nil {
		return nil
	}
	var list []biasMove
	z := make([]complex128, s.n)
	for i, p := range m.st.net.circuit.parts {
		d, ok := p.(device)
		if !ok {
			continue
		}
		for _, c := range m.st.controlSlopes(d, m.st.net.at[i]) {
			e := kept([]term{{row: c.control[0], g: 1}, {row: c.control[1], g: -1}})
			s.backward(summed(m.family.direct.rows, s.n, e), z)
			move := biasMove{signal: c.signal, by: make([]float64, len(m.slopes))}
			for n, v := range m.slopes {
				for _, t := range v.force {
					move.by[n] += real(z[t.row]) * t.g
				}
			}
			list = append(list, move)
		}
	}
	return list
}

// Volts gives the direct volts of point a above b with a meter of so many ohms
// between them, 0 being one that draws nothing. The meter's own effect on
// devices is taken to first order: it draws microamperes.
func (m *Member) Volts(a, b string, ohms float64) Answer {
	from, to, known := m.nodes(a, b)
	if !known || ohms == 0 && m.joined[from+1] != m.joined[to+1] {
		return Answer{None: true}
	}
	z, x, resistance, ok := m.across(from, to)
	if !ok {
		return Answer{None: true}
	}
	share, drawn := 1.0, 0.0
	volts := m.st.point.at([2]int{from, to})
	if ohms > 0 {
		share = ohms / (ohms + resistance)
		drawn = share * volts / ohms
	}
	by := make([]float64, len(m.slopes))
	for n, v := range m.slopes {
		sum := -drawn * real(product(v.signal, x, z, 0))
		for _, t := range v.force {
			sum += real(z[t.row]) * t.g
		}
		by[n] = -share * sum
	}
	return Answer{Value: share * volts, By: by}
}

// Ohms gives the resistance from a to b in a family of a dead circuit: see
// Circuit.Dead. None: there is no path.
func (m *Member) Ohms(a, b string) Answer {
	from, to, known := m.nodes(a, b)
	if !known || m.joined[from+1] != m.joined[to+1] {
		return Answer{None: true}
	}
	z, x, resistance, ok := m.across(from, to)
	if !ok {
		return Answer{None: true}
	}
	by := make([]float64, len(m.slopes))
	for n, v := range m.slopes {
		by[n] = -real(product(v.signal, x, z, 0))
	}
	return Answer{Value: resistance, By: by}
}

// steady is the member's direct-current equations; nil: they have no answer.
func (m *Member) steady() *solution {
	if m.still == nil {
		m.still = m.newSolution(&m.direct)
		m.still.sound = m.still.at(m.family.direct, 0)
	}
	if !m.still.sound {
		return nil
	}
	return m.still
}

// nodes finds two points; false: one of them has gone with a part.
func (m *Member) nodes(a, b string) (from, to int, known bool) {
	from, one := m.st.net.node[a]
	to, other := m.st.net.node[b]
	return from, to, one && other
}

// across solves the direct-current equations for one ampere from b to a through
// an instrument, x, and their transposed for the volts between, z; so it gives
// the resistance between the two. Where nothing is derived, x and z are nil.
func (m *Member) across(from, to int) (z, x []complex128, ohms float64, ok bool) {
	s := m.steady()
	if s == nil {
		return nil, nil, 0, false
	}
	m.derive()
	e := kept([]term{{row: from, g: 1}, {row: to, g: -1}})
	given := summed(m.family.direct.cols, s.n, e)
	ohms = impedanceUnit * real(s.taken(e, given))
	if len(m.slopes) > 0 {
		z, x = make([]complex128, s.n), make([]complex128, s.n)
		s.backward(summed(m.family.direct.rows, s.n, e), z)
		s.forward(given, x)
		for i := range x {
			x[i] *= impedanceUnit
		}
	}
	return z, x, ohms, !math.IsNaN(ohms) && !math.IsInf(ohms, 0)
}

// rests says whether the base's operating point is the member's too: what
// differs adds no current to any node and no volts to any branch.
func (m *Member) rests() bool {
	x := m.family.base.point.x
	rest := map[int]float64{}
	for _, e := range m.own {
		rest[e.row] += e.g * x[e.col]
	}
	m.drives(m.family.base, -1, rest)
	at := m.st.point
	m.st.point.x = x
	m.drives(m.st, 1, rest)
	m.st.point = at
	for row, v := range rest {
		if math.Abs(v) > restless(row, m.st.net.nodes) {
			return false
		}
	}
	return true
}

// What is left of a current (times impedanceUnit) or of volts without moving an
// operating point: a nanoampere, a nanovolt. What leaks through OpenOhms is less.
func restless(row, nodes int) float64 {
	if row < nodes {
		return 1e-9 * impedanceUnit
	}
	return 1e-9
}

// drives adds what sources and devices among the touched parts put into the
// equations.
func (m *Member) drives(st *State, sign float64, rest map[int]float64) {
	for _, name := range m.touch {
		i, ok := st.net.circuit.byName[name]
		if !ok {
			continue
		}
		st.driven(i, func(row int, v float64) { rest[row] += sign * v })
	}
}

// driven visits what a source or device puts into the equations F = 0.
func (st *State) driven(i int, visit func(row int, v float64)) {
	p, at := st.net.circuit.parts[i], st.net.at[i]
	if d, ok := p.(drive); ok {
		for _, t := range kept(d.drive(at)) {
			visit(t.row, -t.g*d.steady())
		}
	}
	d, ok := p.(device)
	if !ok {
		return
	}
	amperes, _ := d.model(st.point.controls(d, at), realValues(d.modelValues()), st.thermal())
	_, flows := d.ports(at)
	for k, flow := range flows {
		v := real(amperes[k]) * impedanceUnit
		if flow[0] >= 0 {
			visit(flow[0], v)
		}
		if flow[1] >= 0 {
			visit(flow[1], -v)
		}
	}
}

// settle finds the member's own operating point.
func (m *Member) settle(ctx context.Context, like *Member, related bool) error {
	if like != nil && like.moved {
		if m.st.point = like.st.point; !related {
			m.st.point.x = m.carried(like)
		}
		if m.balanced() {
			return nil
		}
	}
	m.st.linear = m.whole()
	if err := m.st.checkForced(); err != nil {
		return err
	}
	r := m.newRested()
	if like != nil && like.moved {
		r.resume(m.st.point.x)
	} else {
		r.seed()
	}
	if r.solve(ctx) {
		m.st.point.x = r.x
		if m.balanced() {
			return nil
		}
	}
	return m.st.findOperatingPoint(ctx)
}

// whole is all of the member's linear equations.
func (m *Member) whole() []entry {
	net := m.st.net
	all := stamps{entries: make([]entry, 0, len(m.family.base.linear)+len(m.own))}
	used := make([]bool, net.size)
	for i, p := range net.circuit.parts {
		p.stamp(net.at[i], &all)
		for k := range p.branches(net.at[i]) {
			used[net.at[i].branch+k] = true
		}
	}
	for row := net.nodes; row < net.size; row++ {
		if !used[row] {
			all.entries = append(all.entries, entry{row: row, col: row, g: 1})
		}
	}
	return all.entries
}

// carried takes over another member's unknowns by their names.
func (m *Member) carried(like *Member) []float64 {
	x := make([]float64, m.st.net.size)
	for point, node := range m.st.net.node {
		if other, ok := like.st.net.node[point]; ok && node >= 0 && other >= 0 {
			x[node] = like.st.point.x[other]
		}
	}
	for i, p := range m.st.net.circuit.parts {
		j, ok := like.st.net.circuit.byName[p.PartName()]
		if !ok {
			continue
		}
		n := p.branches(m.st.net.at[i])
		if like.st.net.circuit.parts[j].branches(like.st.net.at[j]) == n {
			copy(x[m.st.net.at[i].branch:][:n], like.st.point.x[like.st.net.at[j].branch:][:n])
		}
	}
	return x
}

// balanced says whether the unknowns are an operating point already.
func (m *Member) balanced() bool {
	rest := make([]float64, m.st.net.size)
	for _, list := range [...][]entry{m.family.base.linear, m.own} {
		for _, e := range list {
			rest[e.row] += e.g * m.st.point.x[e.col]
		}
	}
	for _, node := range m.st.dcGroups.held {
		rest[node] += m.st.point.x[node]
	}
	for i := range m.st.net.circuit.parts {
		m.st.driven(i, func(row int, v float64) { rest[row] += v })
	}
	for row, v := range rest {
		if !(math.Abs(v) <= restless(row, m.st.net.nodes)) {
			return false
		}
	}
	return true
}

// derive finds the knobs' slopes, once they are asked for: the base's own, but for
// touched parts; where the point has moved, at that.
func (m *Member) derive() {
	if m.derived {
		return
	}
	m.derived = true
	m.slopes = m.family.slopes
	if m.moved {
		m.slopes = make([]valueSlope, len(m.family.slopes))
		for k, v := range m.family.slopes {
			m.slopes[k] = m.moveSlope(v)
		}
	}
	for k, knob := range m.family.knobs {
		if !m.ownSlope(knob.Part) {
			continue
		}
		if !m.moved && &m.slopes[0] == &m.family.slopes[0] {
			m.slopes = slices.Clone(m.slopes)
		}
		m.slopes[k] = m.st.slopesOf(m.family.knobs[k : k+1])[0]
	}
}

// ownSlope says whether a part's slopes are to be found anew: of one that the edit
// touched, and where the point has moved of devices and of coupled coils.
func (m *Member) ownSlope(part string) bool {
	if _, touched := slices.BinarySearch(m.touch, part); touched {
		return true
	}
	i, ok := m.st.net.circuit.byName[part]
	if !ok || !m.moved {
		return false
	}
	_, bent := m.st.net.circuit.parts[i].(device)
	return bent || len(m.st.net.at[i].wound) > 0
}

// moveSlope is a slope of linear equations at the member's own point. A source's
// does not depend on it.
func (m *Member) moveSlope(v valueSlope) valueSlope {
	if len(v.signal) > 0 {
		v.force = m.st.point.forceOf(v.signal)
	}
	return v
}

// Value gives a value of a part of the member: see Circuit.Value.
func (m *Member) Value(k Knob) (float64, error) { return m.st.net.circuit.Value(k) }
