package circuit_test

import (
	"fmt"
	"math"
	"math/big"
	"math/cmplx"

	"bandwright/circuit"
	"bandwright/curve"
)

// A slow twin of the engine, sharing no code with it: every part is two-pole
// elements of an impedance, worked out in many bits; small impedances keep
// their current, the rest are admittances; elimination is Gauss's, over full
// matrices, in many bits or in machine numbers.

const precision = 400

// exact is a complex number of many bits. Its methods give new numbers.
type exact struct{ re, im *big.Float }

func bits() *big.Float { return new(big.Float).SetPrec(precision) }

func exactly(re, im float64) exact { return exact{bits().SetFloat64(re), bits().SetFloat64(im)} }

func (x exact) plus(y exact) exact {
	return exact{bits().Add(x.re, y.re), bits().Add(x.im, y.im)}
}

func (x exact) minus(y exact) exact {
	return exact{bits().Sub(x.re, y.re), bits().Sub(x.im, y.im)}
}

func (x exact) times(y exact) exact {
	re := bits().Sub(bits().Mul(x.re, y.re), bits().Mul(x.im, y.im))
	return exact{re, bits().Add(bits().Mul(x.re, y.im), bits().Mul(x.im, y.re))}
}

func (x exact) norm() *big.Float {
	return bits().Add(bits().Mul(x.re, x.re), bits().Mul(x.im, x.im))
}

func (x exact) over(y exact) exact {
	n := y.norm()
	z := x.times(exact{y.re, bits().Neg(y.im)})
	return exact{bits().Quo(z.re, n), bits().Quo(z.im, n)}
}

func (x exact) inverse() exact { return exactly(1, 0).over(x) }

func (x exact) isZero() bool { return x.re.Sign() == 0 && x.im.Sign() == 0 }

func (x exact) round() complex128 {
	re, _ := x.re.Float64()
	im, _ := x.im.Float64()
	return complex(re, im)
}

// parallel is two impedances side by side.
func (x exact) parallel(y exact) exact { return x.times(y).over(x.plus(y)) }

// element is a two-pole of impedance z between two points.
type element struct {
	part, a, b string
	z          exact
	capacitive bool
}

// elements gives a linear part's two-poles at a complex frequency s, with
// |s| standing for ω in a dielectric's loss.
func elements(p circuit.Part, setting curve.Setting, s exact, omega float64) []element {
	real := func(v float64) exact { return exactly(v, 0) }
	one := func(a, b string, z exact) []element { return []element{{part: p.PartName(), a: a, b: b, z: z}} }
	switch p := p.(type) {
	case circuit.Resistor:
		return one(p.A, p.B, real(p.Ohms))
	case circuit.Capacitor:
		y := s.times(real(p.Farads)).plus(real(omega).times(real(p.Farads)).times(real(p.Loss)))
		list := one(p.A, p.B, y.inverse().plus(real(p.ESR)))
		list[0].capacitive = true
		return list
	case circuit.Inductor:
		z := s.times(real(p.Henries))
		if p.CoreOhms > 0 {
			z = z.parallel(real(p.CoreOhms))
		}
		if p.SelfFarads > 0 && p.SelfInside {
			z = z.parallel(s.times(real(p.SelfFarads)).inverse())
		}
		z = z.plus(real(p.DCR))
		if p.SelfFarads > 0 && !p.SelfInside {
			z = z.parallel(s.times(real(p.SelfFarads)).inverse())
		}
		return one(p.A, p.B, z)
	case circuit.Slider:
		share := real((setting.Slider(p.Name) + 1) / 2)
		upper := real(p.Track).times(real(1).minus(share)).plus(real(p.BoostEnd))
		lower := real(p.Track).times(share).plus(real(p.CutEnd))
		contact := p.Name + " contact"
		return append(append(one(p.Boost, contact, upper), one(contact, p.Cut, lower)...), one(contact, p.Wiper, real(p.WiperOhms))...)
	case circuit.Wire:
		return one(p.A, p.B, real(0))
	}
	return nil
}

// contactElement is a contact at a setting; none where it is open for good.
func contactElement(c circuit.Contact, parts []circuit.Part, setting curve.Setting) []element {
	position, named := setting.Switches[c.Switch]
	for _, p := range parts {
		if s, ok := p.(circuit.Switch); ok && s.Name == c.Switch && !named {
			position = s.Positions[0]
		}
	}
	for _, closed := range c.Closed {
		if closed == position {
			return []element{{part: c.Name, a: c.A, b: c.B, z: exactly(c.OnOhms, 0)}}
		}
	}
	if c.OffOhms > 0 {
		return []element{{part: c.Name, a: c.A, b: c.B, z: exactly(c.OffOhms, 0)}}
	}
	return nil
}

// twin is the equations of a linear circuit, a map of cells so that unknowns
// can be added as parts need them.
type twin struct {
	point map[string]int
	size  int
	cells map[[2]int]exact
	right map[int]exact
	// polynomial: every entry is a polynomial in s, so that the determinant is
	// one too. Only capacitors of capacitance alone are admittances then.
	polynomial bool
}

func (w *twin) row(point string) int {
	if point == circuit.Ground {
		return -1
	}
	if _, ok := w.point[point]; !ok {
		w.point[point] = w.size
		w.size++
	}
	return w.point[point]
}

func (w *twin) put(row, col int, v exact) {
	if row < 0 || col < 0 {
		return
	}
	if was, ok := w.cells[[2]int{row, col}]; ok {
		v = v.plus(was)
	}
	w.cells[[2]int{row, col}] = v
}

// pole puts an impedance between two points.
func (w *twin) pole(e element) {
	a, b := w.row(e.a), w.row(e.b)
	if small := cmplx.Abs(e.z.round()) < 100; small && !w.polynomial || w.polynomial && !e.capacitive {
		w.branch(a, b, e.z)
		return
	}
	y := e.z.inverse()
	minus := exactly(0, 0).minus(y)
	w.put(a, a, y)
	w.put(b, b, y)
	w.put(a, b, minus)
	w.put(b, a, minus)
}

func (w *twin) branch(a, b int, z exact) (k int) {
	k = w.size
	w.size++
	one, minus := exactly(1, 0), exactly(-1, 0)
	w.put(a, k, one)
	w.put(b, k, minus)
	w.put(k, a, one)
	w.put(k, b, minus)
	w.put(k, k, exactly(0, 0).minus(z))
	return k
}

// newTwin writes the equations at s for a unit of the named source.
func newTwin(parts []circuit.Part, setting curve.Setting, source string, s exact, omega float64) *twin {
	w := &twin{point: map[string]int{}, cells: map[[2]int]exact{}, right: map[int]exact{}}
	w.write(parts, setting, source, s, omega)
	return w
}

func (w *twin) write(parts []circuit.Part, setting curve.Setting, source string, s exact, omega float64) {
	coils := w.coupled(parts, s)
	for _, p := range parts {
		if coils[p.PartName()] {
			continue
		}
		for _, e := range elements(p, setting, s, omega) {
			w.pole(e)
		}
		switch p := p.(type) {
		case circuit.Contact:
			for _, e := range contactElement(p, parts, setting) {
				w.pole(e)
			}
		case circuit.VoltageSource:
			k := w.branch(w.row(p.Plus), w.row(p.Minus), exactly(0, 0))
			if p.Name == source {
				w.right[k] = exactly(1, 0)
			}
		case circuit.CurrentSource:
			if p.Name == source {
				w.right[w.row(p.To)], w.right[w.row(p.From)] = exactly(1, 0), exactly(-1, 0)
			}
		case circuit.OpAmp:
			w.opAmp(p, s)
		case circuit.Diode, circuit.Transistor, circuit.Zener, circuit.Triode:
			panic("the twin is linear")
		}
	}
}

// coupled writes the coils that are coupled, and names them: copper, core loss
// and self-capacitance as parts of their own about an inductance that keeps
// its current, and s·M·i of the other's current beside s·L·i.
func (w *twin) coupled(parts []circuit.Part, s exact) map[string]bool {
	coils, current := map[string]circuit.Inductor{}, map[string]int{}
	for _, p := range parts {
		if l, ok := p.(circuit.Inductor); ok {
			coils[l.Name] = l
		}
	}
	done := map[string]bool{}
	for _, p := range parts {
		c, ok := p.(circuit.Coupling)
		if !ok {
			continue
		}
		a, b := coils[c.First], coils[c.Second]
		for _, l := range []circuit.Inductor{a, b} {
			if !done[l.Name] {
				current[l.Name] = w.apart(l, s)
				done[l.Name] = true
			}
		}
		m := exactly(0, 0).minus(s.times(exactly(c.K*math.Sqrt(a.Henries*b.Henries), 0)))
		w.put(current[a.Name], current[b.Name], m)
		w.put(current[b.Name], current[a.Name], m)
	}
	return done
}

// apart writes a coil part by part and gives its inductance's current.
func (w *twin) apart(l circuit.Inductor, s exact) int {
	inside := l.Name + " inside the copper"
	w.pole(element{a: l.A, b: inside, z: exactly(l.DCR, 0)})
	if l.CoreOhms > 0 {
		w.pole(element{a: inside, b: l.B, z: exactly(l.CoreOhms, 0)})
	}
	if l.SelfFarads > 0 {
		from := l.A
		if l.SelfInside {
			from = inside
		}
		w.pole(element{a: from, b: l.B, z: s.times(exactly(l.SelfFarads, 0)).inverse(), capacitive: true})
	}
	return w.branch(w.row(inside), w.row(l.B), s.times(exactly(l.Henries, 0)))
}

// opAmp: (v_out + Rout·i)·(1/A + s/(2π·GBW)) = v₊ − v₋, i out of the output.
func (w *twin) opAmp(o circuit.OpAmp, s exact) {
	k, out := w.size, 0
	w.size++
	out = w.row(o.Out)
	w.put(out, k, exactly(-1, 0))
	w.put(k, w.row(o.Plus), exactly(-1, 0))
	w.put(k, w.row(o.Minus), exactly(1, 0))
	if o.Ideal {
		return
	}
	inverse := exactly(o.Gain, 0).inverse()
	if o.GainBandwidth > 0 {
		inverse = inverse.plus(s.over(exactly(2*math.Pi*o.GainBandwidth, 0)))
	}
	w.put(k, out, inverse)
	w.put(k, k, inverse.times(exactly(o.OutputOhms, 0)))
	if o.InputOhms > 0 {
		w.pole(element{part: o.Name, a: o.Plus, b: o.Minus, z: exactly(o.InputOhms, 0)})
	}
}

// dense solves in machine numbers, rows scaled to their largest entry.
func (w *twin) dense() map[string]complex128 {
	a, b := make([][]complex128, w.size), make([]complex128, w.size)
	for i := range a {
		a[i] = make([]complex128, w.size)
		if r, ok := w.right[i]; ok {
			b[i] = r.round()
		}
	}
	for at, v := range w.cells {
		a[at[0]][at[1]] = v.round()
	}
	return w.name(gauss(a, b))
}

// gauss eliminates with the largest pivot of each column. It spends a and b;
// a column without a pivot gives NaN.
func gauss(a [][]complex128, b []complex128) []complex128 {
	n := len(b)
	for i := range a {
		most := 0.0
		for _, v := range a[i] {
			most = max(most, cmplx.Abs(v))
		}
		for j := range a[i] {
			a[i][j] /= complex(most, 0)
		}
		b[i] /= complex(most, 0)
	}
	for k := range n {
		p := k
		for i := k + 1; i < n; i++ {
			if cmplx.Abs(a[i][k]) > cmplx.Abs(a[p][k]) {
				p = i
			}
		}
		a[k], a[p], b[k], b[p] = a[p], a[k], b[p], b[k]
		for i := k + 1; i < n; i++ {
			if a[i][k] == 0 {
				continue
			}
			m := a[i][k] / a[k][k]
			for j := k; j < n; j++ {
				a[i][j] -= m * a[k][j]
			}
			b[i] -= m * b[k]
		}
	}
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] -= a[i][j] * b[j]
		}
		b[i] /= a[i][i]
	}
	return b
}

func (w *twin) name(x []complex128) map[string]complex128 {
	volts := map[string]complex128{circuit.Ground: 0}
	for point, row := range w.point {
		volts[point] = x[row]
	}
	return volts
}

// exact solves in many bits and gives the determinant too.
func (w *twin) exact() (volts map[string]complex128, determinant exact) {
	n := w.size
	a, b := make([][]exact, n), make([]exact, n)
	for i := range a {
		a[i], b[i] = make([]exact, n), exactly(0, 0)
		for j := range a[i] {
			a[i][j] = exactly(0, 0)
		}
		if r, ok := w.right[i]; ok {
			b[i] = r
		}
	}
	for at, v := range w.cells {
		a[at[0]][at[1]] = v
	}
	determinant = eliminate(a, b)
	x := make([]complex128, n)
	for i := n - 1; i >= 0; i-- {
		for j := i + 1; j < n; j++ {
			b[i] = b[i].minus(a[i][j].times(b[j]))
		}
		b[i] = b[i].over(a[i][i])
		x[i] = b[i].round()
	}
	return w.name(x), determinant
}

// eliminate makes a upper triangular, b with it, and gives the determinant.
func eliminate(a [][]exact, b []exact) exact {
	determinant := exactly(1, 0)
	for k := range a {
		p := k
		for i := k + 1; i < len(a); i++ {
			if a[i][k].norm().Cmp(a[p][k].norm()) > 0 {
				p = i
			}
		}
		if p != k {
			a[k], a[p], b[k], b[p] = a[p], a[k], b[p], b[k]
			determinant = exactly(0, 0).minus(determinant)
		}
		if a[k][k].isZero() {
			panic(fmt.Sprintf("the twin is singular at %d", k))
		}
		determinant = determinant.times(a[k][k])
		for i := k + 1; i < len(a); i++ {
			if a[i][k].isZero() {
				continue
			}
			m := a[i][k].over(a[k][k])
			for j := k; j < len(a); j++ {
				if !a[k][j].isZero() {
					a[i][j] = a[i][j].minus(m.times(a[k][j]))
				}
			}
			b[i] = b[i].minus(m.times(b[k]))
		}
	}
	return determinant
}
