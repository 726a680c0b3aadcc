package sweep

import (
	"math"

	"bandwright/finding"
)

// Between two clocks of quartz lie at most some 100 parts in a million each
// (common practice, no source); more is frames lost.
const mostPPM = 300.0

// beforeSweep is read in front of a sweep, seconds, and behindSweep after it.
const (
	beforeSweep = 0.05
	behindSweep = 0.65
)

// capture is one take, brought into memory.
type capture struct {
	number   int
	rate     float64
	frame    int64   // of the recording, where y and x start
	mark     float64 // frame of the first mark
	sweep    float64 // frames after the start at which the sweep begins
	ppm      float64 // recorder's clock over the player's, parts in a million
	scale    float64 // signal seconds in a second of the recording
	y, x     []float64
	quiet    [2][]float64 // the silence before the sweep, of y and x
	quietAt  int64        // its first frame
	channels [2]int       // numbers from 1 of y and x
}

// place are the args that say where in the recording something is.
func (c *capture) place(i int, channel int, more finding.Args) finding.Args {
	args := finding.Args{"frame": c.frame + int64(i), "seconds": float64(c.frame+int64(i)) / c.rate, "channel": channel}
	for k, v := range more {
		args[k] = v
	}
	return args
}

// window reads a stretch of a channel; what lies outside the recording is nothing.
func window(rec *Recording, channel int, from int64, count int) ([]float64, error) {
	samples := make([]float64, count)
	skip := min(max(0, -from), int64(count))
	dst := make([][]float64, channel)
	dst[channel-1] = samples[skip:]
	_, err := rec.Read(dst, from+skip)
	return samples, err
}

// measure brings the marks of a take to a small part of a frame and gives
// where the take lies and how the clocks stand.
func (s Signal) measure(rec *Recording, channel int, p pair) (*capture, error) {
	rate := float64(rec.Rate)
	edge, count := int64(0.1*rate), int((markSeconds+0.2)*rate)
	at := [2]int64{int64(p.first) - edge, int64(p.second) - edge}
	first, err := window(rec, channel, at[0], count)
	if err != nil {
		return nil, err
	}
	second, err := window(rec, channel, at[1], count)
	if err != nil {
		return nil, err
	}
	ideal := make([]float64, count)
	for i := range ideal {
		ideal[i] = markAt(float64(int64(i)-edge) / rate)
	}
	_, between := later(first, second, rate)
	start, _ := later(ideal, first, rate)

	t := s.takes()[p.number]
	distance := (float64(at[1]-at[0]) + between) / rate
	c := &capture{number: p.number, rate: rate, ppm: (distance/t.between() - 1) * 1e6}
	c.scale = t.between() / distance
	c.mark = float64(at[0]+edge) + start
	begin := c.mark + (t.sweep-t.mark)/c.scale*rate
	c.frame = int64(math.Floor(begin - beforeSweep*rate))
	c.sweep = begin - float64(c.frame)
	return c, nil
}

// load brings the sweep and its silence into memory.
func (c *capture) load(rec *Recording, s Signal, channel, reference int) error {
	c.channels = [2]int{channel, reference}
	t := s.takes()[c.number]
	c.quietAt = int64(c.mark + (t.silence-t.mark)*c.rate)
	silence := max(0, int(int64(c.sweep)+c.frame-c.quietAt)-int(0.02*c.rate))
	count := int((beforeSweep + s.Seconds + behindSweep) * c.rate)
	for i, number := range c.channels {
		if number == 0 {
			continue
		}
		samples, err := window(rec, number, c.frame, count)
		if err != nil {
			return err
		}
		if c.quiet[i], err = window(rec, number, c.quietAt, silence); err != nil {
			return err
		}
		if i == 0 {
			c.y = samples
		} else {
			c.x = samples
		}
	}
	return nil
}

// ideal is the sweep as it would have arrived over a wire, on the recorder's
// clock: the scaled sweep is again one, so nothing needs to be resampled.
func (c *capture) ideal(s Signal, scale float64) []float64 {
	p := s.shape()
	level := math.Pow(10, s.LevelDBFS/20)
	x := make([]float64, len(c.y))
	for i := range x {
		x[i] = level * p.at((float64(i)-c.sweep)/c.rate*scale)
	}
	return x
}
