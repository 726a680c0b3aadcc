package leastsq

import "math/big"

// Lanczos1's data are its model to 13 digits, and its certified sum is
// 1.4e-25: residuals in double precision are themselves rounding, wrong in
// their third digit. So that the fit and not the arithmetic of the model is
// tested, its residuals are formed with 120 bits and rounded once.

const bits = 120

func bigFloat(x float64) *big.Float { return new(big.Float).SetPrec(bits).SetFloat64(x) }

// bigExp is e^x by halving x twenty times, the series, and squaring back.
func bigExp(x *big.Float) *big.Float {
	const halvings = 20
	u := new(big.Float).SetPrec(bits+2*halvings).SetMantExp(x, -halvings)
	sum, term := bigFloat(1).SetPrec(bits+2*halvings), bigFloat(1).SetPrec(bits+2*halvings)
	for n := 1; n < 12; n++ {
		term.Mul(term, u)
		term.Quo(term, bigFloat(float64(n)))
		sum.Add(sum, term)
	}
	for range halvings {
		sum.Mul(sum, sum)
	}
	return sum
}

func (ref reference) preciseDecays() func(b, r []float64) {
	y := make([]*big.Float, len(ref.y))
	x := make([]*big.Float, len(ref.y))
	for i, digits := range ref.digits {
		y[i], _, _ = big.ParseFloat(digits, 10, bits, big.ToNearestEven)
		x[i] = new(big.Float).SetPrec(bits).SetRat(big.NewRat(int64(i), 20)) // 0, 0.05, 0.10 …
	}
	return func(b, r []float64) {
		for i := range r {
			sum := new(big.Float).SetPrec(bits).Neg(y[i])
			for k := 0; k < 6; k += 2 {
				e := bigExp(new(big.Float).Mul(bigFloat(-b[k+1]), x[i]))
				sum.Add(sum, e.Mul(e, bigFloat(b[k])))
			}
			r[i], _ = sum.Float64()
		}
	}
}
