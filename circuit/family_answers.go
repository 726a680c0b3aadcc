package circuit

import (
	"context"
	"math"
	"slices"
)

// Answer is a number with its derivative by every knob of the family.
type Answer struct {
	Value float64
	None  bool      // no path, no direct current, no signal: no number
	By    []float64 // nil: nothing is derived
}

// Gains gives the decibels of the plan's gain at its frequencies, the operating
// point following every knob.
func (m *Member) Gains() []Answer { return new(Listener).Gains([]*Member{m})[0] }

// Listener asks gains of several members at once. Its answers hold until it asks
// again.
type Listener struct {
	heard   []hearing
	list    [][]Answer
	by      []float64
	s       solution[complex128]
	x, z    []complex128
	changes []complex128
}

// Gains is Member.Gains of several members of one family, frequency by frequency:
// every inverse is gone through once.
func (l *Listener) Gains(members []*Member) [][]Answer {
	l.heard, l.list = l.heard[:0], l.list[:0]
	if len(members) == 0 {
		return nil
	}
	f := members[0].family
	each := len(f.omegas) * len(f.knobs)
	l.by = slices.Grow(l.by[:0], each*len(members))[:each*len(members)]
	for i, m := range members {
		if m.family != f {
			panic("circuit: members of two families asked at once")
		}
		m.derive()
		h := hearing{Member: m, list: make([]Answer, len(f.omegas)), by: l.by[i*each:][:each], bias: m.biasMoves()}
		l.heard, l.list = append(l.heard, h), append(l.list, h.list)
	}
	n := f.base.net.size
	if l.s.n != n {
		l.s = solution[complex128]{n: n}
		l.x, l.z = make([]complex128, n), make([]complex128, n)
	}
	for k := range f.omegas {
		for i := range l.heard {
			l.at(k, &l.heard[i])
		}
	}
	return l.list
}

// hearing is a member whose gains are being asked for.
type hearing struct {
	*Member
	list []Answer
	by   []float64
	bias []biasMove
}

// at has a member answer at one frequency.
func (l *Listener) at(k int, h *hearing) {
	f, omega, s := h.family, h.family.omegas[k], &l.s
	h.list[k].None = true
	s.turn(&h.signal)
	for i, e := range h.signal.cells {
		s.d[i] = e.at(omega)
	}
	if !s.at(f.inverse[k]) {
		return
	}
	base := f.given[0][k]
	if len(h.slopes) == 0 {
		gain := dot(f.out, base, 0)
		if s.lu != nil {
			s.weigh(base)
			for _, t := range f.out {
				gain -= complex(t.g, 0) * s.off(t.row)
			}
		}
		if db, ok := shown(gain); ok {
			h.list[k] = Answer{Value: db}
		}
		return
	}
	s.forward(base, l.x)
	gain := dot(f.out, l.x, 0)
	db, ok := shown(gain)
	if !ok {
		return
	}
	s.backward(f.given[1][k], l.z)
	h.list[k] = Answer{Value: db, By: h.by[k*len(f.knobs):][:len(f.knobs):len(f.knobs)]}
	l.derive(h, h.list[k].By, omega, gain)
}

// derive gives the derivatives of a gain in decibels from its two solutions.
func (l *Listener) derive(h *hearing, by []float64, omega float64, gain complex128) {
	l.changes = l.changes[:0]
	for _, moves := range h.bias {
		l.changes = append(l.changes, -product(moves.signal, l.x, l.z, 0))
	}
	per := complex(20/math.Ln10, 0) / gain
	for n := range h.slopes {
		d := -h.slopes[n].product(l.x, l.z, omega)
		for c := range h.bias {
			if by := h.bias[c].by[n]; by != 0 {
				d -= complex(real(l.changes[c])*by, imag(l.changes[c])*by)
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

// steady is product of the direct-current equations.
func (v *valueSlope) steady(x, lambda []float64) float64 {
	if v.between {
		a, b := v.signal[0].row, v.signal[3].row
		return v.signal[0].g * (lambda[a] - lambda[b]) * (x[a] - x[b])
	}
	sum := 0.0
	for _, e := range v.signal {
		sum += lambda[e.row] * e.g * x[e.col]
	}
	return sum
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
	base, z := m.room[0], m.room[1]
	for i, p := range m.st.net.circuit.parts {
		d, ok := p.(device)
		if !ok {
			continue
		}
		for _, c := range m.st.controlSlopes(d, m.st.net.at[i]) {
			between(m.family.direct.rows, s.n, c.control[0], c.control[1], base)
			s.backward(base, z)
			move := biasMove{signal: c.signal, by: make([]float64, len(m.slopes))}
			for n, v := range m.slopes {
				for _, t := range v.force {
					move.by[n] += z[t.row] * t.g
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
		sum := -drawn * v.steady(x, z)
		for _, t := range v.force {
			sum += z[t.row] * t.g
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
		by[n] = -v.steady(x, z)
	}
	return Answer{Value: resistance, By: by}
}

// steady is the member's direct-current equations; nil: they have no answer.
func (m *Member) steady() *solution[float64] {
	if m.still == nil {
		m.still = &solution[float64]{n: m.st.net.size}
		m.still.turn(&m.direct)
		for i, e := range m.direct.cells {
			m.still.d[i] = e.g
		}
		m.sound = m.still.at(m.family.direct)
		for i := range m.room {
			m.room[i] = make([]float64, m.still.n)
		}
	}
	if !m.sound {
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
// the resistance between the two. Where nothing is derived, x and z are nil; they hold
// until the next question.
func (m *Member) across(from, to int) (z, x []float64, ohms float64, ok bool) {
	s := m.steady()
	if s == nil {
		return nil, nil, 0, false
	}
	m.derive()
	given := m.room[0]
	between(m.family.direct.cols, s.n, from, to, given)
	ohms = operating{given}.at([2]int{from, to})
	if s.lu != nil {
		s.weigh(given)
		for i, node := range [...]int{from, to} {
			if node >= 0 {
				ohms -= [...]float64{1, -1}[i] * s.off(node)
			}
		}
	}
	ohms *= impedanceUnit
	if len(m.slopes) > 0 {
		z, x = m.room[1], m.room[2]
		s.forward(given, x)
		for i := range x {
			x[i] *= impedanceUnit
		}
		between(m.family.direct.rows, s.n, from, to, given)
		s.backward(given, z)
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
