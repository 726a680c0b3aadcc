package job

import (
	"slices"
	"strings"

	"bandwright/finding"
	"bandwright/quantity"
)

// feed checks the form of the supply; whether the circuit has the parts that it
// names, the circuit says.
func (c *checker) feed() {
	f := c.job.Feed
	if f == nil {
		return
	}
	c.above(f.Cold, 1, "feed", "cold")
	c.above(f.Safe, 1, "feed", "safe")
	c.above(f.Ripple, 0, "feed", "ripple")
	if f.Frequency != nil && *f.Frequency == 0 {
		c.tooLow(0, 1, "feed", "frequency")
	}
	if f.SafeAfter != nil && *f.SafeAfter == 0 {
		c.tooLow(0, 1, "feed", "safe_after")
	}
	for _, s := range [...]struct {
		key   string
		share *quantity.Tolerance
	}{{"most_watts", f.Watts}, {"most_volts", f.Volts}, {"most_amperes", f.Amperes}} {
		if s.share != nil && s.share.Plus == 0 {
			c.report(IDOutOfRange, c.at("feed", s.key), finding.Args{"key": "feed." + s.key, "read": 0, "low": 0.01, "high": 0.99})
		}
	}
	for _, l := range [...]struct {
		key   string
		names []string
	}{{"dropper", f.Dropper}, {"board", f.Board}} {
		for i, name := range l.names {
			if slices.Contains(l.names[:i], name) {
				c.report(IDNamedTwice, c.at("feed", l.key, i), finding.Args{"what": "part", "name": clip(name),
					"first": c.at("feed", l.key, slices.Index(l.names, name)).Line})
			}
		}
	}
}

// above holds a voltage that is no sign of anything below a least.
func (c *checker) above(v *quantity.Volts, low float64, path ...any) {
	if v != nil && float64(*v) < low {
		c.tooLow(float64(*v), low, path...)
	}
}

func (c *checker) tooLow(read, low float64, path ...any) {
	c.report(IDOutOfRange, c.at(path...), finding.Args{"key": strings.Join(keysOf(path), "."), "read": read, "low": low})
}

// powerUp checks the limits against each other, and that each stage is told of
// once.
func (c *checker) powerUp() {
	p := &c.job.PowerUp
	c.above(p.BenchVolts, 1, "volts", "bench_volts")
	if p.Meter != nil && *p.Meter == 0 {
		c.tooLow(0, 1, "volts", "meter")
	}
	pass, look := quantity.Tolerance{Minus: 0.1, Plus: 0.1}, quantity.Tolerance{Minus: 0.2, Plus: 0.2}
	if p.Pass != nil {
		pass = *p.Pass
	}
	if p.Look != nil {
		look = *p.Look
	}
	if look.Minus < pass.Minus || look.Plus < pass.Plus {
		c.report(IDOutOfRange, c.at("volts", "look"), finding.Args{
			"key": "volts.look", "read": min(look.Minus, look.Plus), "low": max(pass.Minus, pass.Plus), "high": 1})
	}
	first := map[string]int{}
	for i, s := range p.Stages {
		switch before, twice := first[s.Stage]; {
		case blank(s.Stage):
			c.missing("volts", "stage", i, "stage")
		case twice:
			c.report(IDNamedTwice, c.at("volts", "stage", i, "stage"), finding.Args{"what": "stage", "name": s.Stage,
				"first": c.at("volts", "stage", before, "stage").Line})
		default:
			first[s.Stage] = i
		}
		if !blank(s.Signed) && !blank(s.Skipped) {
			c.report(IDTwoWays, c.at("volts", "stage", i, "skipped"), finding.Args{"key": "volts.stage", "one": "signed", "other": "skipped"})
		}
	}
}
