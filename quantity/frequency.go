package quantity

import (
	"math"
	"strconv"
)

// nominalDecade are the nominal third-octave frequencies of one decade of
// ISO 266, in hundredths of 1 to 10: the rounded values of R10. (As quoted by
// a second text.)
var nominalDecade = [...]int{100, 125, 160, 200, 250, 315, 400, 500, 630, 800}

// ExactFrequency gives the mid-band frequency of band x of a bank of b bands
// to the octave (1 octave, 3 thirds …), band 0 being at or next above 1 kHz:
// 1000 G^(x/b) for odd b, 1000 G^((2x+1)/(2b)) for even b, with G = 10^(3/10)
// (IEC 61260-1, base ten, as quoted by a second text).
func ExactFrequency(b, x int) Hertz {
	wantBank(b)
	// As one power of ten, so that whole decades come out exact.
	up, per := 3*x, 10*b
	if b%2 == 0 {
		up, per = 3*(2*x+1), 20*b
	}
	return Hertz(math.Pow(10, float64(3*per+up)/float64(per)))
}

// BandEdges gives the edges of the band of 1/b octave at mid-band f:
// f G^(−1/(2b)) and f G^(+1/(2b)) (IEC 61260-1, as quoted by a second text).
func BandEdges(f Hertz, b int) (low, high Hertz) {
	wantBank(b)
	half := math.Pow(10, 3/float64(20*b))
	return f / Hertz(half), f * Hertz(half)
}

// BandOf gives the x of the band that f lies in, or whose mid-band is nearest
// by ratio, which is the same. f must be positive and finite.
func BandOf(f Hertz, b int) int {
	wantBank(b)
	if !(f >= tiny && f <= 1/tiny) {
		panic("quantity: no band at " + strconv.FormatFloat(float64(f), 'g', -1, 64) + " Hz")
	}
	bands := math.Log10(float64(f)/1000) * 10 / 3 * float64(b)
	if b%2 == 0 {
		return int(math.Floor(bands))
	}
	return int(math.Round(bands))
}

func wantBank(b int) {
	if b < 1 {
		panic("quantity: " + strconv.Itoa(b) + " bands to the octave")
	}
}

// NominalThird gives the nominal frequency of third-octave band x, 1 kHz
// being band 0, in any decade: −13 is 50 Hz, −1 is 800 Hz (ISO 266, as quoted
// by a second text).
func NominalThird(x int) Hertz {
	i := ((x % 10) + 10) % 10
	return Hertz(decimal{digits: strconv.Itoa(nominalDecade[i]), exp: 1 + (x-i)/10}.float())
}

// NominalOctave gives the nominal frequency of octave band x, 1 kHz being
// band 0: −5 is 31.5 Hz, 4 is 16 kHz (ISO 266).
func NominalOctave(x int) Hertz { return NominalThird(3 * x) }

// NominalThirds gives the nominal third-octave frequencies from low to high,
// both included.
func NominalThirds(low, high Hertz) []Hertz { return nominals(low, high, 3, NominalThird) }

// NominalOctaves gives the nominal octave frequencies from low to high, both
// included.
func NominalOctaves(low, high Hertz) []Hertz { return nominals(low, high, 1, NominalOctave) }

func nominals(low, high Hertz, b int, nominal func(int) Hertz) []Hertz {
	var all []Hertz
	for x := BandOf(low, b); x <= BandOf(high, b); x++ {
		if f := nominal(x); f >= low && f <= high {
			all = append(all, f)
		}
	}
	return all
}

// NearestThird gives the nominal frequency of the third-octave band f lies in.
func NearestThird(f Hertz) Hertz { return NominalThird(BandOf(f, 3)) }

// NearestOctave gives the nominal frequency of the octave band f lies in.
func NearestOctave(f Hertz) Hertz { return NominalOctave(BandOf(f, 1)) }
