package leastsq

import "math"

// model is one model function of the reference sets, with its gradient by
// the parameters written into g. x has one or two predictors.
type model func(b, x, g []float64) float64

// models by the name of the file. Written from the "Model" paragraph of each.
func models() map[string]model {
	return map[string]model{
		"Bennett5": bennett,
		"BoxBOD":   saturating,
		"Chwirut1": chwirut, "Chwirut2": chwirut,
		"DanWood":  power,
		"ENSO":     cycles,
		"Eckerle4": peak,
		"Gauss1":   twoPeaks, "Gauss2": twoPeaks, "Gauss3": twoPeaks,
		"Hahn1":    rational(3, 3),
		"Kirby2":   rational(2, 2),
		"Lanczos1": threeDecays, "Lanczos2": threeDecays, "Lanczos3": threeDecays,
		"MGH09":    mgh09,
		"MGH10":    mgh10,
		"MGH17":    mgh17,
		"Misra1a":  saturating,
		"Misra1b":  misraB,
		"Misra1c":  misraC,
		"Misra1d":  misraD,
		"Nelson":   nelson,
		"Rat42":    logistic,
		"Rat43":    richards,
		"Roszman1": roszman,
		"Thurber":  rational(3, 3),
	}
}

func bennett(b, x, g []float64) float64 {
	s := b[1] + x[0]
	t := math.Pow(s, -1/b[2])
	g[0] = t
	g[1] = -b[0] * t / (b[2] * s)
	g[2] = b[0] * t * math.Log(s) / (b[2] * b[2])
	return b[0] * t
}

func saturating(b, x, g []float64) float64 {
	e := math.Exp(-b[1] * x[0])
	g[0] = -math.Expm1(-b[1] * x[0])
	g[1] = b[0] * x[0] * e
	return b[0] * g[0]
}

func chwirut(b, x, g []float64) float64 {
	d := b[1] + b[2]*x[0]
	y := math.Exp(-b[0]*x[0]) / d
	g[0], g[1], g[2] = -x[0]*y, -y/d, -y*x[0]/d
	return y
}

func power(b, x, g []float64) float64 {
	g[0] = math.Pow(x[0], b[1])
	g[1] = b[0] * g[0] * math.Log(x[0])
	return b[0] * g[0]
}

func cycles(b, x, g []float64) float64 {
	w := 2 * math.Pi * x[0]
	g[0] = 1
	g[1], g[2] = math.Cos(w/12), math.Sin(w/12)
	y := b[0] + b[1]*g[1] + b[2]*g[2]
	for _, k := range [...]int{3, 6} { // period, cosine, sine
		c, s := math.Cos(w/b[k]), math.Sin(w/b[k])
		g[k+1], g[k+2] = c, s
		g[k] = (b[k+1]*s - b[k+2]*c) * w / (b[k] * b[k])
		y += b[k+1]*c + b[k+2]*s
	}
	return y
}

func peak(b, x, g []float64) float64 {
	u := (x[0] - b[2]) / b[1]
	e := math.Exp(-u * u / 2)
	y := b[0] / b[1] * e
	g[0], g[1], g[2] = e/b[1], y*(u*u-1)/b[1], y*u/b[1]
	return y
}

func twoPeaks(b, x, g []float64) float64 {
	g[0] = math.Exp(-b[1] * x[0])
	g[1] = -b[0] * x[0] * g[0]
	y := b[0] * g[0]
	for _, k := range [...]int{2, 5} { // height, place, width
		u := (x[0] - b[k+1]) / b[k+2]
		e := math.Exp(-u * u)
		g[k], g[k+1], g[k+2] = e, b[k]*e*2*u/b[k+2], b[k]*e*2*u*u/b[k+2]
		y += b[k] * e
	}
	return y
}

// rational is a polynomial of degree over by one of degree under with
// constant 1.
func rational(over, under int) model {
	return func(b, x, g []float64) float64 {
		top, bottom, power := 0.0, 1.0, 1.0
		for i := 0; i <= over; i++ {
			top += b[i] * power
			g[i] = power
			power *= x[0]
		}
		power = x[0]
		for i := 1; i <= under; i++ {
			bottom += b[over+i] * power
			g[over+i] = -power
			power *= x[0]
		}
		y := top / bottom
		for i := range b {
			g[i] /= bottom
			if i > over {
				g[i] *= y
			}
		}
		return y
	}
}

func threeDecays(b, x, g []float64) float64 {
	y := 0.0
	for k := 0; k < 6; k += 2 {
		g[k] = math.Exp(-b[k+1] * x[0])
		g[k+1] = -b[k] * x[0] * g[k]
		y += b[k] * g[k]
	}
	return y
}

func mgh09(b, x, g []float64) float64 {
	top, bottom := x[0]*(x[0]+b[1]), x[0]*(x[0]+b[2])+b[3]
	y := b[0] * top / bottom
	g[0], g[1], g[2], g[3] = top/bottom, b[0]*x[0]/bottom, -y*x[0]/bottom, -y/bottom
	return y
}

func mgh10(b, x, g []float64) float64 {
	s := x[0] + b[2]
	g[0] = math.Exp(b[1] / s)
	y := b[0] * g[0]
	g[1], g[2] = y/s, -y*b[1]/(s*s)
	return y
}

func mgh17(b, x, g []float64) float64 {
	g[0], g[1], g[2] = 1, math.Exp(-x[0]*b[3]), math.Exp(-x[0]*b[4])
	g[3], g[4] = -x[0]*b[1]*g[1], -x[0]*b[2]*g[2]
	return b[0] + b[1]*g[1] + b[2]*g[2]
}

func misraB(b, x, g []float64) float64 {
	s := 1 + b[1]*x[0]/2
	g[0] = 1 - 1/(s*s)
	g[1] = b[0] * x[0] / (s * s * s)
	return b[0] * g[0]
}

func misraC(b, x, g []float64) float64 {
	s := 1 + 2*b[1]*x[0]
	g[0] = 1 - 1/math.Sqrt(s)
	g[1] = b[0] * x[0] / (s * math.Sqrt(s))
	return b[0] * g[0]
}

func misraD(b, x, g []float64) float64 {
	s := 1 + b[1]*x[0]
	g[0] = b[1] * x[0] / s
	g[1] = b[0] * x[0] / (s * s)
	return b[0] * g[0]
}

func nelson(b, x, g []float64) float64 {
	e := math.Exp(-b[2] * x[1])
	g[0], g[1], g[2] = 1, -x[0]*e, b[1]*x[0]*x[1]*e
	return b[0] - b[1]*x[0]*e
}

func logistic(b, x, g []float64) float64 {
	e := math.Exp(b[1] - b[2]*x[0])
	s := 1 + e
	g[0] = 1 / s
	g[1] = -b[0] * e / (s * s)
	g[2] = -g[1] * x[0]
	return b[0] / s
}

func richards(b, x, g []float64) float64 {
	e := math.Exp(b[1] - b[2]*x[0])
	s := 1 + e
	g[0] = math.Pow(s, -1/b[3])
	y := b[0] * g[0]
	g[1] = -y * e / (s * b[3])
	g[2] = -g[1] * x[0]
	g[3] = y * math.Log(s) / (b[3] * b[3])
	return y
}

func roszman(b, x, g []float64) float64 {
	u := x[0] - b[3]
	d := math.Pi * (u*u + b[2]*b[2])
	g[0], g[1], g[2], g[3] = 1, -x[0], -u/d, -b[2]/d
	return b[0] - b[1]*x[0] - math.Atan(b[2]/u)/math.Pi
}
