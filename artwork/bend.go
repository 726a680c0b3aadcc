package artwork

import "math"

// Allowance is the length of sheet that a bend takes: A·(R + K·T), with A the
// angle bent through (of a right angle π/2), R the inside radius, T the
// thickness, K where the line that keeps its length lies, as a share of the
// thickness from the inside (any text on sheet metal; from the work).
func Allowance(angle, radius, thickness, k float64) float64 {
	return angle * (radius + k*thickness)
}

// KOf is the K of a measured bend: what Allowance was, turned round.
func KOf(allowance, angle, radius, thickness float64) float64 {
	return (allowance/angle - radius) / thickness
}

// KByRadius is K by the ratio of inside radius to thickness after DIN 6935:
// half of 0.65 + 0.5·log₁₀(r/s), from 0 to ½. The formula is from memory; its
// coarse form (0.66/2 below r/s = 2, 1/2 above) is from the work.
func KByRadius(radius, thickness float64) float64 {
	return math.Min(math.Max(0.65+0.5*math.Log10(radius/thickness), 0), 1) / 2
}

// Metal is what a tab is cut from.
type Metal struct {
	Name       string
	Solderable bool
	// K at a right angle. From the handbook's 90-degree formulas (from memory):
	// soft brass and copper 0.350, half-hard brass and soft steel 0.407.
	K float64
}

// Metals are those a bench has. Tinplate counts as soft steel.
func Metals() []Metal {
	return []Metal{
		{"tinplate", true, 0.407}, {"soft brass", true, 0.350}, {"half-hard brass", true, 0.407},
		{"aluminium", false, 0.407},
	}
}

// MetalNamed finds a metal.
func MetalNamed(name string) (Metal, bool) {
	for _, m := range Metals() {
		if m.Name == name {
			return m, true
		}
	}
	return Metal{}, false
}
