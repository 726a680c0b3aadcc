package circuit

import (
	"context"
	"maps"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
)

// JunctionVolts is the least open-lead voltage of an ohmmeter that is taken to
// open a junction: below it diodes, zeners and transistors are not there.
// Common practice, no source.
const JunctionVolts = 0.3

// PowerOff says what an ohmmeter meets in a circuit without its power.
type PowerOff struct {
	// Kelvin is the temperature of the junctions; 0 means DefaultKelvin.
	Kelvin float64
	// SourceOhms gives sources (by name) that are still a path when they are
	// dead, and of how many ohms: a transformer's winding, a supply's bleed. A
	// source that is not named is unplugged: no path at all.
	SourceOhms map[string]float64
	// TestVolts is the meter's voltage with its leads open, TestOhms the
	// resistance behind it, which sets its current. Below JunctionVolts both
	// are without meaning: the answer is that of a network of resistors.
	TestVolts, TestOhms float64
}

// opens says whether the meter opens junctions.
func (off PowerOff) opens() bool { return off.TestVolts >= JunctionVolts }

// Resistance is what lies between two points with the power off.
type Resistance struct {
	Ohms float64
	// Open: no path for direct current, so no reading; Ohms is then 0.
	Open bool
	// By is d(ohms)/d(value) of every value of every part that is left, real.
	By []Derivative
}

// Ohms gives the resistance from point a (the meter's positive lead) to b with
// the power off and every capacitor at rest. What is left of the circuit:
// resistors, sliders, contacts and wires as the setting has them, coils with
// their DCR, and the junctions of diodes, zeners and transistors if the meter
// has volts enough to open them. Valves (cold), op-amps and sources are no
// path, unless PowerOff says what a dead source still is.
//
// The meter is a current source of 1 A where all is linear; where it opens
// junctions it is TestVolts behind TestOhms and reads volts over amperes.
func (c *Circuit) Ohms(ctx context.Context, s curve.Setting, off PowerOff, a, b string) (Resistance, error) {
	if off.opens() && !(off.TestOhms > 0) {
		panic("circuit: an ohmmeter without a resistance of its own")
	}
	if err := c.checkPoints(a, b); err != nil {
		return Resistance{}, err
	}
	parts, err := c.powerOff(off)
	if err != nil {
		return Resistance{}, err
	}
	name := c.unused("ohmmeter")
	st, err := measuring(parts, s, off, CurrentSource{Name: name, From: b, To: a, DC: 1})
	if err != nil {
		return Resistance{}, err
	}
	joined := st.net.tied(steady, junction)
	from, to := st.net.node[a], st.net.node[b]
	if joined.find(from+1) != joined.find(to+1) {
		return Resistance{Open: true}, nil
	}
	if off.opens() {
		return junctionOhms(ctx, parts, s, off, name, a, b)
	}
	if err := st.findOperatingPoint(ctx); err != nil {
		return Resistance{}, atSetting(err, s)
	}
	return Resistance{Ohms: st.point.at([2]int{from, to}), By: st.acrossSensitivity(from, to, 1, name)}, nil
}

// junctionOhms measures with volts behind ohms: R = V/I, and since I falls by
// dV/TestOhms, dR = dV·E/(TestOhms·I²).
func junctionOhms(ctx context.Context, parts []Part, s curve.Setting, off PowerOff, name, a, b string) (Resistance, error) {
	lead, behind := name+".lead", name+".ohms"
	st, err := measuring(parts, s, off,
		VoltageSource{Name: name, Plus: lead, Minus: b, DC: off.TestVolts},
		Resistor{Name: behind, A: lead, B: a, Ohms: off.TestOhms})
	if err != nil {
		return Resistance{}, err
	}
	if err := st.findOperatingPoint(ctx); err != nil {
		return Resistance{}, atSetting(err, s)
	}
	from, to := st.net.node[a], st.net.node[b]
	amperes, _ := st.Current(behind)
	if !(amperes > 0) {
		return Resistance{Open: true}, nil
	}
	slope := off.TestVolts / (off.TestOhms * amperes * amperes)
	return Resistance{
		Ohms: st.point.at([2]int{from, to}) / amperes,
		By:   st.acrossSensitivity(from, to, slope, name, behind),
	}, nil
}

// measuring gives the dead circuit with a meter in it, without what only
// signals and powered circuits need: no plan of elimination, and points that
// hang on nothing but a capacitor or a part that is left out are no mistake.
func measuring(parts []Part, s curve.Setting, off PowerOff, meter ...Part) (*State, error) {
	dead, err := New(slices.Concat(parts, meter)...)
	if err != nil {
		return nil, err
	}
	net, err := dead.place(s, nil)
	if err != nil {
		return nil, err
	}
	if err := net.checkLoops().Err(); err != nil {
		return nil, atSetting(err, s)
	}
	st := &State{net: net, kelvin: off.Kelvin, linear: net.stampAll()}
	if st.kelvin == 0 {
		st.kelvin = DefaultKelvin
	}
	st.dcGroups = net.islandsOf(net.tied(steady, junction))
	return st, nil
}

// powerOff leaves out what is no path without power.
func (c *Circuit) powerOff(off PowerOff) ([]Part, error) {
	if err := c.checkDeadSources(off); err != nil {
		return nil, err
	}
	var parts []Part
	for _, p := range c.parts {
		switch p.(type) {
		case VoltageSource, CurrentSource:
			if ohms, ok := off.SourceOhms[p.PartName()]; ok {
				t := p.Terminals()
				parts = append(parts, Resistor{Name: p.PartName(), A: t[0], B: t[1], Ohms: ohms})
			}
			continue
		case OpAmp, Triode:
			continue
		}
		if _, ok := p.(device); ok && !off.opens() {
			continue
		}
		parts = append(parts, p)
	}
	return parts, nil
}

func (c *Circuit) checkDeadSources(off PowerOff) error {
	var found finding.List
	for _, name := range slices.Sorted(maps.Keys(off.SourceOhms)) {
		at := finding.Place{Part: name}
		if p, ok := c.Part(name); !ok {
			found = append(found, finding.New(IDNoPart, finding.Error, at, nil))
		} else if _, source := p.(drive); !source {
			found = append(found, finding.New(IDNoSource, finding.Error, at, nil))
		}
	}
	return found.Err()
}

// unused gives a name for a meter that no part and no point of the circuit has.
func (c *Circuit) unused(name string) string {
	taken := func(n string) bool {
		_, part := c.byName[n]
		_, point := slices.BinarySearch(c.points, n+".lead")
		_, behind := c.byName[n+".ohms"]
		return part || point || behind
	}
	for taken(name) {
		name += "'"
	}
	return name
}
