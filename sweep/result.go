package sweep

import (
	"math"
	"math/cmplx"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
)

// Harmonic is the level of one harmonic over the frequency of the sine that
// made it, as far up as the harmonic itself lies in the swept band.
type Harmonic struct {
	Order int       `json:"order"`
	Hz    []float64 `json:"hz"`
	DB    []float64 `json:"db"`       // below the fundamental
	Floor []float64 `json:"floor_db"` // what the noise alone would read, below the fundamental
}

// Distortion is the root of the sum of squares of harmonics 2 to 5 over the
// fundamental, where all four lie in the swept band.
type Distortion struct {
	Hz      []float64 `json:"hz"`
	Percent []float64 `json:"percent"`
}

// Result is one take read: gain over frequency with its noise, and what else
// the recording tells. Results of one signal stand at the same frequencies. It
// is never changed once made.
type Result struct {
	Setting curve.Setting `json:"setting"`
	Number  int           `json:"number"` // of the take in the signal, from 1

	Hz      []float64 `json:"hz"`
	DB      []float64 `json:"db"`
	Degrees []float64 `json:"degrees,omitempty"` // nil: not known
	// PhaseTo is the frequency up to which the phase is known; 0 nowhere.
	PhaseTo float64   `json:"phase_to_hz"`
	Noise   []float64 `json:"noise_db"` // standard deviation of DB, a point
	Floor   []float64 `json:"floor_db"` // the gain that the noise alone would read

	Harmonics []Harmonic  `json:"harmonics,omitempty"`
	THD       *Distortion `json:"thd,omitempty"`
	Silence   *Noise      `json:"silence,omitempty"`
	Reference *Noise      `json:"reference_silence,omitempty"`

	DriftPPM  *float64 `json:"drift_ppm,omitempty"` // recorder's clock over the player's
	Corrected bool     `json:"drift_corrected"`
	Delay     *float64 `json:"delay_seconds,omitempty"` // of the response's peak; against the reference, or the first mark
	LevelDBFS float64  `json:"level_dbfs"`              // of the test signal's peak
	LevelDBu  *float64 `json:"level_dbu,omitempty"`
	PeakDBFS  *float64 `json:"peak_dbfs,omitempty"` // of the recorded sweep
	Frame     int64    `json:"frame"`               // of the recording, where the sweep begins
	Seconds   float64  `json:"seconds"`

	Findings finding.List `json:"findings,omitempty"`
}

// SNR gives how far a point's gain stands over its noise, dB.
func (r Result) SNR(point int) float64 { return r.DB[point] - r.Floor[point] }

// Curve gives the result as a curve, with phase where it is known over all of
// it. Noise stands beside it in the result, a deviation a point; below about
// 75 Hz neighbouring points share theirs.
func (r Result) Curve(name string) curve.Curve {
	c := curve.Curve{Name: name, Setting: r.Setting, Hz: slices.Clone(r.Hz), DB: slices.Clone(r.DB)}
	if n := len(r.Hz); n > 0 && r.PhaseTo >= r.Hz[n-1] {
		c.Degrees = slices.Clone(r.Degrees)
	}
	return c
}

// PointsPerOctave is how close the points of a result lie.
const PointsPerOctave = 48

// grid gives the frequencies of all results between two: 1 kHz times whole
// powers of the 48th root of two.
func grid(low, high float64) []float64 {
	var hz []float64
	for k := int(math.Ceil(PointsPerOctave * math.Log2(low/1000))); ; k++ {
		f := 1000 * math.Exp2(float64(k)/PointsPerOctave)
		if f > high {
			return hz
		}
		if f >= low {
			hz = append(hz, f)
		}
	}
}

// grid gives the frequencies at which a response is read: all of the band but
// the last that would be averaged with its fading edge.
func (im *impulse) grid() []float64 { return grid(im.low, im.high*(1-smear)) }

// response is a complex gain over a grid, with the variance of its noise.
type response struct {
	gain     []complex128
	variance []float64
}

// deviation of a level whose gain has this variance, in dB.
func deviation(gain, variance float64) float64 {
	return min(99, 20/math.Ln10*math.Sqrt(variance/2)/max(gain, 1e-12))
}

// respond reads the linear response over a grid. The noise of a bin of the
// recording's transform is n times the density; the gate lets pass the part of
// it that falls into its time, averaging the part its bands allow.
func respond(im *impulse, hz []float64, quiet [2]*silence) response {
	sp := im.linear()
	r := response{make([]complex128, len(hz)), make([]float64, len(hz))}
	for i, f := range hz {
		v, bands := sp.value(f)
		v /= im.whole(sp, f)
		r.gain[i] = v * unit(-2*math.Pi*f*sp.about)
		gain := cmplx.Abs(v)
		for q, weight := range [...]float64{1, gain * gain} {
			if quiet[q] != nil {
				r.variance[i] += weight * im.passed(sp, quiet[q], f, bands)
			}
		}
	}
	return r
}

// passed is the variance that one channel's silence leaves in the response.
func (im *impulse) passed(sp spectrum, q *silence, hz, bands float64) float64 {
	drive := max(im.drive[min(len(im.drive)-1, int(hz/im.bin+0.5))], 1e-300)
	hiss := float64(im.n) * q.at(hz) / drive * sp.seconds * im.bin / bands
	// A tone passes the gate whole: half its amplitude on either side of zero.
	tone := q.hum(hz, 1.5/sp.seconds) / 2 * sp.area * im.bin * float64(im.n)
	return hiss + tone*tone/drive
}

// harmonics reads harmonics 2 to 5 against the fundamental, and from them THD.
func (im *impulse) harmonics(hz []float64, fundamental response, q *silence, scale float64) ([]Harmonic, *Distortion) {
	var all []Harmonic
	thd := &Distortion{}
	for order := 2; order <= 5; order++ {
		sp := im.harmonic(order, scale)
		h := Harmonic{Order: order}
		for i, f := range hz {
			at := f * float64(order)
			if at > im.high*(1-smear) {
				break
			}
			v, bands := sp.value(at)
			v /= im.whole(sp, at)
			base := cmplx.Abs(fundamental.gain[i])
			h.Hz = append(h.Hz, f)
			h.DB = append(h.DB, decibel(cmplx.Abs(v)/max(base, 1e-12)))
			h.Floor = append(h.Floor, decibel(math.Sqrt(im.passed(sp, q, at, bands))/max(base, 1e-12)))
		}
		all = append(all, h)
	}
	for i, f := range all[3].Hz {
		var sum float64
		for _, h := range all {
			sum += math.Pow(10, h.DB[i]/10)
		}
		thd.Hz, thd.Percent = append(thd.Hz, f), append(thd.Percent, 100*math.Sqrt(sum))
	}
	return all, thd
}
