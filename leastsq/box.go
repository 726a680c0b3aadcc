package leastsq

// box is the linear problem of one iteration: the least of
//
//	|T·y + q|² + λ·|y|²,  lo ≤ y ≤ hi,  lo ≤ 0 ≤ hi
//
// with T the triangle of the Jacobian in scaled parameters. It is solved by an
// active set (Stark and Parker 1995): all within the small triangle, so that
// trying several λ costs little beside making it.
type box struct {
	n      int
	t      []float64 // T, row by row, columns in pivot order
	q      []float64
	lo, hi []float64
	y      []float64 // the answer
	side   []int8    // −1 held at lo, +1 at hi, 0 free
	bound  bool      // any bound is finite

	ty    []float64 // T·y
	slope []float64 // half the slope, Tᵀ(T·y + q) + λ·y
	free  []int
	part  [][]float64 // the free columns of T
	ones  []float64
	small *qr
	r     []float64 // triangle of the free columns, then of the damped ones
	c     []float64 // its right side
	extra []float64 // the row being rotated in
	z     []float64 // least of the free ones
}

func newBox(n int) *box {
	v := func() []float64 { return make([]float64, n) }
	b := &box{n: n, t: make([]float64, n*n), q: v(), lo: v(), hi: v(), y: v(), side: make([]int8, n),
		ty: v(), slope: v(), free: make([]int, 0, n), ones: v(), small: newQR(n),
		r: make([]float64, n*n), c: v(), extra: v(), z: v()}
	for i := range n {
		b.part = append(b.part, v())
		b.ones[i] = 1
	}
	return b
}

// solve leaves the answer for λ in y.
func (b *box) solve(lambda float64) {
	clear(b.y)
	clear(b.side)
	if b.bound {
		b.slopes(lambda)
		for k, g := range b.slope {
			if g > 0 && b.lo[k] == 0 {
				b.side[k] = -1
			} else if g < 0 && b.hi[k] == 0 {
				b.side[k] = 1
			}
		}
	}
	for range 4*b.n + 10 { // a guard; each turn lowers the sum or frees one
		b.least(lambda)
		if b.move() {
			continue
		}
		if !b.release(lambda) {
			return
		}
	}
}

// move goes from y towards z as far as the bounds allow, and tells whether it
// has come to hold one more.
func (b *box) move() bool {
	share, hit, side := 1.0, -1, int8(0)
	for i, k := range b.free {
		step := b.z[i] - b.y[k]
		wall, s := b.hi[k], int8(1)
		if step < 0 {
			wall, s = b.lo[k], -1
		}
		if end := b.y[k] + step; end < b.lo[k] || end > b.hi[k] {
			if part := (wall - b.y[k]) / step; part < share || hit < 0 {
				share, hit, side = part, k, s
			}
		}
	}
	for i, k := range b.free {
		b.y[k] = min(max(b.y[k]+share*(b.z[i]-b.y[k]), b.lo[k]), b.hi[k])
	}
	if hit < 0 {
		return false
	}
	b.side[hit], b.y[hit] = side, b.hi[hit]
	if side < 0 {
		b.y[hit] = b.lo[hit]
	}
	return true
}

// release frees the held one that most wants to leave its bound.
func (b *box) release(lambda float64) bool {
	if !b.bound {
		return false
	}
	b.slopes(lambda)
	best, most := -1, 1e-14*norm(b.q)
	for k, s := range b.side {
		if g := float64(s) * b.slope[k]; g > most {
			best, most = k, g
		}
	}
	if best < 0 {
		return false
	}
	b.side[best] = 0
	return true
}

// slopes leaves T·y and half the slope of the damped sum at y.
func (b *box) slopes(lambda float64) {
	clear(b.slope)
	for i := range b.n {
		row := b.t[i*b.n : (i+1)*b.n]
		b.ty[i] = dot(row[i:], b.y[i:])
		axpy(b.ty[i]+b.q[i], row[i:], b.slope[i:])
	}
	axpy(lambda, b.y, b.slope)
}

// gain is how much less |T·y + q|² is than |q|².
func (b *box) gain() float64 {
	b.slopes(0)
	gain := 0.0
	for i, ty := range b.ty {
		gain -= ty * (2*b.q[i] + ty)
	}
	return gain
}
