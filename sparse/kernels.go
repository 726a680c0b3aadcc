package sparse

import "math"

// Block is the number of lanes worked side by side. A name is looked up and
// an operation chosen once for so many lanes; few enough that a plan's arrays
// stay near the processor.
const Block = 32

// Vector is one real part in all lanes of a block.
type Vector = [Block]float64

// bound is an operation whose names have been looked up.
type bound struct {
	code                   opcode
	d, e, x, y, z, w, u, v *Vector
	k, c, g, h             *float64
}

// run does the operations in order. Each kernel is a plain loop over lanes;
// touching every array before the loop keeps the test for nil out of it,
// which is worth a fifth of the time.
func run(ops []bound) {
	for i := range ops {
		o := &ops[i]
		switch o.code {
		case opScale:
			scaleLanes(o.d, o.x, *o.k)
		case opMul:
			mulLanes(o.d, o.x, o.y)
		case opConAdd:
			conAddLanes(o.d, o.x, *o.c)
		case opConScale:
			conScaleLanes(o.d, o.x, *o.k, *o.c)
		case opConMul:
			conMulLanes(o.d, o.x, o.y, *o.c)
		case opAdd:
			addLanes(o.d, o.x, o.y)
		case opSub:
			subLanes(o.d, o.x, o.y)
		case opAddScale:
			addScaleLanes(o.d, o.x, o.y, *o.k)
		case opAddMul:
			addMulLanes(o.d, o.x, o.y, o.z)
		case opSubMul:
			subMulLanes(o.d, o.x, o.y, o.z)
		case opScaleAdd:
			scaleAddLanes(o.d, o.x, o.y, *o.k, *o.c)
		case opScaleMul:
			scaleMulLanes(o.d, o.x, o.y, o.z, *o.k)
		case opMulAddMul:
			mulAddMulLanes(o.d, o.x, o.y, o.z, o.w)
		case opMulSubMul:
			mulSubMulLanes(o.d, o.x, o.y, o.z, o.w)
		case opSum:
			sumLanes(o)
		case opCMulAdd:
			cmulAddLanes(o)
		case opCMulSub:
			cmulSubLanes(o)
		case opRecip:
			recipLanes(o.d, o.x)
		case opCRecip:
			crecipLanes(o.d, o.e, o.z, o.x, o.y)
		case opFill:
			fillLanes(o.d, *o.c)
		case opWatch:
			watchLanes(o.d, o.x, o.y, o.z, o.w)
		case opWatchK:
			watchScaledLanes(o.d, o.x, *o.k)
		case opWatchQ:
			watchWeighedLanes(o.d, o.x, o.y, o.z)
		case opWatchCon:
			watchConLanes(o.d, o.x, o.y, *o.c, *o.k)
		case opSize:
			sizeLanes(o.d, o.x, o.y)
		}
	}
}

func scaleLanes(d, x *Vector, k float64) {
	_, _ = d[0], x[0]
	for i := range d {
		d[i] = k * x[i]
	}
}

func mulLanes(d, x, y *Vector) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = x[i] * y[i]
	}
}

func conAddLanes(d, x *Vector, c float64) {
	_, _ = d[0], x[0]
	for i := range d {
		d[i] = c + x[i]
	}
}

func conScaleLanes(d, x *Vector, k, c float64) {
	_, _ = d[0], x[0]
	for i := range d {
		d[i] = c + k*x[i]
	}
}

func conMulLanes(d, x, y *Vector, c float64) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = c + x[i]*y[i]
	}
}

func addLanes(d, x, y *Vector) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = x[i] + y[i]
	}
}

func subLanes(d, x, y *Vector) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = x[i] - y[i]
	}
}

func addScaleLanes(d, x, y *Vector, k float64) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = x[i] + k*y[i]
	}
}

func addMulLanes(d, x, y, z *Vector) {
	_, _, _, _ = d[0], x[0], y[0], z[0]
	for i := range d {
		d[i] = x[i] + y[i]*z[i]
	}
}

func subMulLanes(d, x, y, z *Vector) {
	_, _, _, _ = d[0], x[0], y[0], z[0]
	for i := range d {
		d[i] = x[i] - y[i]*z[i]
	}
}

func scaleAddLanes(d, x, y *Vector, k, c float64) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = k*x[i] + c*y[i]
	}
}

func scaleMulLanes(d, x, y, z *Vector, k float64) {
	_, _, _, _ = d[0], x[0], y[0], z[0]
	for i := range d {
		d[i] = k*x[i] + y[i]*z[i]
	}
}

func mulAddMulLanes(d, x, y, z, w *Vector) {
	_, _, _, _, _ = d[0], x[0], y[0], z[0], w[0]
	for i := range d {
		d[i] = x[i]*y[i] + z[i]*w[i]
	}
}

func mulSubMulLanes(d, x, y, z, w *Vector) {
	_, _, _, _, _ = d[0], x[0], y[0], z[0], w[0]
	for i := range d {
		d[i] = x[i]*y[i] - z[i]*w[i]
	}
}

func sumLanes(o *bound) {
	d, x, y, z, w := o.d, o.x, o.y, o.z, o.w
	k, c, g, h := *o.k, *o.c, *o.g, *o.h
	_, _, _, _, _ = d[0], x[0], y[0], z[0], w[0]
	for i := range d {
		d[i] = (k*x[i] + c*y[i]) + (g*z[i] + h*w[i])
	}
}

func cmulAddLanes(o *bound) {
	d, e, x, u, y, z, w, v := o.d, o.e, o.x, o.u, o.y, o.z, o.w, o.v
	_, _, _, _, _, _, _, _ = d[0], e[0], x[0], u[0], y[0], z[0], w[0], v[0]
	for i := range d {
		yr, yi, wr, wi := y[i], z[i], w[i], v[i]
		d[i] = x[i] + (yr*wr - yi*wi)
		e[i] = u[i] + (yr*wi + yi*wr)
	}
}

func cmulSubLanes(o *bound) {
	d, e, x, u, y, z, w, v := o.d, o.e, o.x, o.u, o.y, o.z, o.w, o.v
	_, _, _, _, _, _, _, _ = d[0], e[0], x[0], u[0], y[0], z[0], w[0], v[0]
	for i := range d {
		yr, yi, wr, wi := y[i], z[i], w[i], v[i]
		d[i] = x[i] - (yr*wr - yi*wi)
		e[i] = u[i] - (yr*wi + yi*wr)
	}
}

func recipLanes(d, x *Vector) {
	_, _ = d[0], x[0]
	for i := range d {
		d[i] = 1 / x[i]
	}
}

func crecipLanes(d, e, q, x, y *Vector) {
	_, _, _, _, _ = d[0], e[0], q[0], x[0], y[0]
	for i := range d {
		re, im := x[i], y[i]
		s := 1 / (re*re + im*im)
		d[i], e[i], q[i] = re*s, -im*s, s
	}
}

func fillLanes(d *Vector, c float64) {
	_ = d[0]
	for i := range d {
		d[i] = c
	}
}

func watchLanes(d, x, y, z, w *Vector) {
	_, _, _, _, _ = d[0], x[0], y[0], z[0], w[0]
	for i := range d {
		d[i] += (x[i]*x[i] + y[i]*y[i]) + (z[i]*z[i] + w[i]*w[i])
	}
}

func watchScaledLanes(d, x *Vector, k float64) {
	_, _ = d[0], x[0]
	for i := range d {
		d[i] += k * (x[i] * x[i])
	}
}

func watchConLanes(d, x, y *Vector, c, k float64) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] += c*x[i] + k*y[i]
	}
}

func watchWeighedLanes(d, q, y, z *Vector) {
	_, _, _, _ = d[0], q[0], y[0], z[0]
	for i := range d {
		d[i] += q[i] * (y[i]*y[i] + z[i]*z[i])
	}
}

func sizeLanes(d, x, y *Vector) {
	_, _, _ = d[0], x[0], y[0]
	for i := range d {
		d[i] = math.Abs(x[i]) + math.Abs(y[i])
	}
}
