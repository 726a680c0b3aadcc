package quantity

import (
	"math"
	"strconv"
	"strings"
)

// Series is a series of preferred values of IEC 60063; its number is that of
// values in a decade.
type Series int

// The series of IEC 60063.
const (
	E3   Series = 3
	E6   Series = 6
	E12  Series = 12
	E24  Series = 24
	E48  Series = 48
	E96  Series = 96
	E192 Series = 192
)

// decade24 are the values of E24 in tenths, E12, E6 and E3 being every second,
// fourth and eighth. Eight of them are not 10^(k/24) rounded: 27 30 33 36 39
// 43 47 and 82. (IEC 60063 as quoted by a second text.)
var decade24 = [...]int16{
	10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30,
	33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91,
}

// decade192 are the values of E192 in hundredths, E96 and E48 being every
// second and fourth. One is not 10^(k/192) rounded: 920, which the rule makes
// 919. (IEC 60063 as quoted by a second text.)
var decade192 = [...]int16{
	100, 101, 102, 104, 105, 106, 107, 109, 110, 111, 113, 114, 115, 117, 118, 120,
	121, 123, 124, 126, 127, 129, 130, 132, 133, 135, 137, 138, 140, 142, 143, 145,
	147, 149, 150, 152, 154, 156, 158, 160, 162, 164, 165, 167, 169, 172, 174, 176,
	178, 180, 182, 184, 187, 189, 191, 193, 196, 198, 200, 203, 205, 208, 210, 213,
	215, 218, 221, 223, 226, 229, 232, 234, 237, 240, 243, 246, 249, 252, 255, 258,
	261, 264, 267, 271, 274, 277, 280, 284, 287, 291, 294, 298, 301, 305, 309, 312,
	316, 320, 324, 328, 332, 336, 340, 344, 348, 352, 357, 361, 365, 370, 374, 379,
	383, 388, 392, 397, 402, 407, 412, 417, 422, 427, 432, 437, 442, 448, 453, 459,
	464, 470, 475, 481, 487, 493, 499, 505, 511, 517, 523, 530, 536, 542, 549, 556,
	562, 569, 576, 583, 590, 597, 604, 612, 619, 626, 634, 642, 649, 657, 665, 673,
	681, 690, 698, 706, 715, 723, 732, 741, 750, 759, 768, 777, 787, 796, 806, 816,
	825, 835, 845, 856, 866, 876, 887, 898, 909, 920, 931, 942, 953, 965, 976, 988,
}

// dust is how near, as a ratio, a computed value must lie to a preferred one
// to be that value: far above rounding, far below the finest tolerance.
const dust = 1e-9

// digits gives value i of the decade as a whole number and the power of ten
// that makes it 1 to 10.
func (s Series) digits(i int) (int, int) {
	switch s {
	case E3, E6, E12, E24:
		return int(decade24[i*24/int(s)]), -1
	case E48, E96, E192:
		return int(decade192[i*192/int(s)]), -2
	}
	panic("quantity: no series E" + strconv.Itoa(int(s)))
}

// At gives value k of the series counted from 1 (k = 0) over all decades, so
// that E24.At(24) is 10 and E24.At(-1) is 0.91. It is the float64 nearest to
// the decimal value.
func (s Series) At(k int) float64 {
	n := int(s)
	i := ((k % n) + n) % n
	value, exp := s.digits(i)
	return decimal{digits: strconv.Itoa(value), exp: exp + (k-i)/n}.float()
}

// floor gives the k of the largest value not above v, dust allowed for.
func (s Series) floor(v float64) int {
	if !(v >= tiny && v <= 1/tiny) {
		panic("quantity: no preferred value near " + strconv.FormatFloat(v, 'g', -1, 64))
	}
	k := int(math.Floor(float64(s) * math.Log10(v)))
	for s.At(k) > v*(1+dust) {
		k--
	}
	for s.At(k+1) <= v*(1+dust) {
		k++
	}
	return k
}

// Below gives the largest value of the series that is not above v. Like all
// that follow it wants v positive and finite, 1e-30 to 1e30, and panics
// otherwise: whether a computed value makes sense is the caller's to ask.
func Below[Q ~float64](s Series, v Q) Q { return Q(s.At(s.floor(float64(v)))) }

// Above gives the smallest value of the series that is not below v.
func Above[Q ~float64](s Series, v Q) Q {
	k := s.floor(float64(v))
	if below := s.At(k); below >= float64(v)*(1-dust) {
		return Q(below)
	}
	return Q(s.At(k + 1))
}

// Nearest gives the value of the series nearest to v by ratio, the measure of
// everything a part's value does to a frequency or a gain. Of two equally
// near the lower is given.
func Nearest[Q ~float64](s Series, v Q) Q {
	a, b := Below(s, v), Above(s, v)
	if v/a > b/v {
		return b
	}
	return a
}

// NearestDifference gives the value of the series nearest to v by difference,
// as catalogues have it: 1050 is 1000 in E24, where by ratio it is 1100. Of
// two equally near the lower is given.
func NearestDifference[Q ~float64](s Series, v Q) Q {
	a, b := Below(s, v), Above(s, v)
	if v-a > b-v {
		return b
	}
	return a
}

// Within gives the values of the series from low to high, both included.
func Within[Q ~float64](s Series, low, high Q) []Q {
	var values []Q
	last := s.floor(float64(high))
	for k := s.floor(float64(Above(s, low))); k <= last; k++ {
		values = append(values, Q(s.At(k)))
	}
	return values
}

// Contains reports whether v is a value of the series in any decade, to 1e-9
// so that a computed 4699.9999999999 is 4700. Nothing below 1e-30 or above
// 1e30 is.
func Contains[Q ~float64](s Series, v Q) bool {
	if !(v >= tiny && v <= 1/tiny) {
		return false
	}
	return float64(Below(s, v)) >= float64(v)*(1-dust)
}

// Tolerance gives the tolerance parts of the series usually have: E6 20 %, E12
// 10 %, E24 5 %, E48 2 %, E96 1 %, E192 0.5 %. E3 has none of its own (more
// than 20 %), and ok is false. (IEC 60063 as quoted by a second text.)
func (s Series) Tolerance() (t Tolerance, ok bool) {
	usual := map[Series]float64{E6: 0.2, E12: 0.1, E24: 0.05, E48: 0.02, E96: 0.01, E192: 0.005}
	v, ok := usual[s]
	return Tolerance{v, v}, ok
}

// ParseSeries reads "E24" or "e24".
func ParseSeries(text string) (Series, error) {
	for _, s := range [...]Series{E3, E6, E12, E24, E48, E96, E192} {
		if strings.EqualFold(clean(text), s.String()) {
			return s, nil
		}
	}
	if clean(text) == "" {
		return 0, refuse(IDEmpty, text, &series)
	}
	return 0, refuse(IDNotSeries, text, &series)
}

// String gives "E24".
func (s Series) String() string { return "E" + strconv.Itoa(int(s)) }

// UnmarshalText reads what ParseSeries reads.
func (s *Series) UnmarshalText(text []byte) error {
	read, err := ParseSeries(string(text))
	if err == nil {
		*s = read
	}
	return err
}

// MarshalText writes "E24".
func (s Series) MarshalText() ([]byte, error) { return []byte(s.String()), nil }
