package equaliser

import "bandwright/circuit"

// twoTransistor is a series-feedback pair on one low-voltage rail, of general
// silicon transistors (common practice, no source; the operating point, the
// flatness and the stability are tested).
//
// The first transistor's base is the + input and its emitter the − input; its
// collector drives the second, whose collector is the output. The direct
// feedback, R.dc1 and R.dc2 with C.dc, sets the output near half the rail and
// is mute for signals, so that the one path for them is "feedback". That is
// taken behind C.out: the loop then makes up for the capacitor, and both buses
// find their way to 0 V through R.bleed, so that no direct current runs in a
// slider.
//
// The buses' loads are meant to balance, or "flat" is not 0 dB: the base
// divider R.b1 with R.b2 on "cut", R.e with R.dc2 on "boost", both about 15k.
//
// C.dc, C.emitter and C.out lie in one loop below the audio range: C.dc of
// 100 µF with C.emitter of 22 µF oscillates there, slowly; these values stay
// clear of it.
func twoTransistor(s Spec) []circuit.Part {
	return []circuit.Part{
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: circuit.Ground, DC: s.Rail},
		capacitor("C.in", "in", "in.coupled", 47e-6),
		resistor("R.in", "in", circuit.Ground, 1e6),
		resistor("feed", "in.coupled", "cut", s.Feed),
		capacitor("C.base", "cut", "q1.base", 22e-6),
		resistor("R.b1", "rail", "q1.base", 30e3),
		resistor("R.b2", "q1.base", circuit.Ground, 33e3),
		circuit.Transistor{Name: "q1", Collector: "q1.collector", Base: "q1.base", Emitter: "q1.emitter",
			Is: 1e-14, BetaF: 300, BetaR: 4, N: 1, EarlyVolts: 80, BaseEmitterFarads: 20e-12, BaseCollectorFarads: 4e-12},
		resistor("R.e", "q1.emitter", circuit.Ground, 47e3),
		capacitor("C.emitter", "boost", "q1.emitter", 100e-6),
		resistor("R.c1", "rail", "q1.collector", 3.3e3),
		circuit.Transistor{Name: "q2", Collector: "out", Base: "q1.collector", Emitter: "rail", PNP: true,
			Is: 1e-14, BetaF: 300, BetaR: 4, N: 1, EarlyVolts: 80, BaseEmitterFarads: 200e-12, BaseCollectorFarads: 6e-12},
		capacitor("C.comp", "q1.collector", "out", 47e-12),
		resistor("R.load", "out", circuit.Ground, 2.2e3),
		resistor("R.dc1", "out", "dc.mid", 10e3),
		resistor("R.dc2", "dc.mid", "q1.emitter", 22e3),
		capacitor("C.dc", "dc.mid", circuit.Ground, 10e-6),
		capacitor("C.out", "out", "out.coupled", 47e-6),
		resistor("R.bleed", "out.coupled", circuit.Ground, 100e3),
		resistor("feedback", "out.coupled", "boost", s.Feedback),
	}
}
