package bench

import (
	"fmt"
	"reflect"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/job"
)

// partsOf opens a job and gives its parts by name.
func partsOf(t *testing.T, text string) map[string]circuit.Part {
	t.Helper()
	c, _ := opened(t, text, none)
	parts := map[string]circuit.Part{}
	for _, p := range c.equaliser.Circuit().Parts() {
		parts[p.PartName()] = p
	}
	return parts
}

// changes lists every field of every part that differs, "63.coil.DCR=250".
func changes(before, after map[string]circuit.Part) []string {
	var list []string
	for name, was := range before {
		is, ok := after[name]
		if !ok {
			list = append(list, name+" gone")
			continue
		}
		if reflect.TypeOf(was) != reflect.TypeOf(is) {
			list = append(list, fmt.Sprintf("%s=%T", name, is))
			continue
		}
		a, b := reflect.ValueOf(was), reflect.ValueOf(is)
		for i := range a.NumField() {
			if !reflect.DeepEqual(a.Field(i).Interface(), b.Field(i).Interface()) {
				list = append(list, fmt.Sprintf("%s.%s=%v", name, a.Type().Field(i).Name, b.Field(i).Interface()))
			}
		}
	}
	for name := range after {
		if _, ok := before[name]; !ok {
			list = append(list, name+" new")
		}
	}
	return list
}

// same compares two lists whatever their order.
func same(a, b []string) bool {
	count := map[string]int{}
	for _, s := range a {
		count[s]++
	}
	for _, s := range b {
		count[s]--
	}
	for _, n := range count {
		if n != 0 {
			return false
		}
	}
	return true
}

// reachJob has one of everything a job can say of the circuit in numbers.
const reachJob = `format = 1
title = "reach"
temperature = "35 °C"
[tap_in]
source = "1k"
load = "470k"
load_capacitance = "120p"
level = "0.5 V"
[driver]
drawing = "two-transistor"
rail = "24 V"
feed = "1k2"
feedback = "2k2"
[lift]
contact = "0.1 ohm"
lead = "600p"
[bypass]
contact = "0.05 ohm"
grounds_input = true
[[band]]
name = "63"
centre = "63 Hz"
slider = { value = "10k", ends = "2 ohm", wiper = "5 ohm", law = [[0, 0], [0.5, 0.4], [1, 1]] }
coil = { value = "2.7 H", dcr = "255 ohm", core_loss = "180k", self_capacitance = "400p", self_capacitance_inside = false, measured = { value = "2.72 H" } }
capacitor = { value = "2u2", loss = 0.004, esr = "0.15 ohm", measured = { value = "2.23u" } }
resistor = { value = "330R", measured = { value = "331R" } }
[[band]]
name = "400"
centre = "400 Hz"
slider = { value = "11k", ends = "3 ohm", wiper = "6 ohm" }
coil = { value = "390 mH", dcr = "82 ohm", core_loss = "75k", self_capacitance = "180p" }
capacitor = { value = "390n", loss = 0.003, esr = "0.1 ohm" }
resistor = { value = "470R" }
`

// Every number of the document changes its own part by just that, and no
// other. Where a part was measured, what is marked changes nothing.
func TestEveryValueReachesItsPart(t *testing.T) {
	before := partsOf(t, reachJob)
	for _, c := range []struct {
		old, new string
		want     []string
	}{
		{`source = "1k"`, `source = "1k5"`, []string{"source.ohms.Ohms=1500"}},
		{`load = "470k"`, `load = "330k"`, []string{"load.Ohms=330000"}},
		{"load = \"470k\"\n", "", []string{"load gone"}},
		{`load_capacitance = "120p"`, `load_capacitance = "150p"`, []string{"load.capacitance.Farads=1.5e-10"}},
		{"load_capacitance = \"120p\"\n", "", []string{"load.capacitance gone"}},
		{`level = "0.5 V"`, `level = "0.7 V"`, nil},
		{`rail = "24 V"`, `rail = "22 V"`, []string{"rail.DC=22"}},
		{`feed = "1k2"`, `feed = "1k3"`, []string{"feed.Ohms=1300"}},
		{`feed = "1k2"`, `feed = "0 ohm"`, []string{"feed.Ohms=0"}},
		{"feed = \"1k2\"\n", "", nil}, // what the source leaves of 2k2
		{`feedback = "2k2"`, `feedback = "2k4"`, []string{"feedback.Ohms=2400"}},
		{"[lift]\ncontact = \"0.1 ohm\"", "[lift]\ncontact = \"0.2 ohm\"", []string{"lift.OnOhms=0.2"}},
		{"[lift]\n", "[lift]\nopen = \"10M\"\n", []string{"lift.OffOhms=1e+07"}},
		// +40 K is +15.7 % of copper (IEC 60028).
		{`measured = { value = "2.72 H" }`, `measured = { value = "2.72 H", temperature = "35 °C" }`, nil},
		{`lead = "600p"`, `lead = "700p"`, []string{"lift.lead.Farads=7e-10"}},
		{"lead = \"600p\"\n", "", []string{"lift.lead gone"}},
		{"[lift]\ncontact = \"0.1 ohm\"\nlead = \"600p\"\n", "",
			[]string{"lift=circuit.Wire", "lift.lead gone", "footswitch gone"}},
		{`contact = "0.05 ohm"`, `contact = "0.06 ohm"`,
			[]string{"panel.in.OnOhms=0.06", "panel.by.OnOhms=0.06", "panel.out.OnOhms=0.06", "panel.ground.OnOhms=0.06"}},
		{`grounds_input = true`, `grounds_input = false`, []string{"panel.ground gone"}},
		{`centre = "63 Hz"`, `centre = "64 Hz"`, nil},
		{`slider = { value = "10k"`, `slider = { value = "9k"`, []string{"63.Track=9000"}},
		{`ends = "2 ohm"`, `ends = "4 ohm"`, []string{"63.BoostEnd=4", "63.CutEnd=4"}},
		{`wiper = "5 ohm"`, `wiper = "7 ohm"`, []string{"63.WiperOhms=7"}},
		{`[0.5, 0.4]`, `[0.5, 0.3]`, []string{"63.Law={[0 0.5 1] [0 0.3 1]}"}},
		{`, law = [[0, 0], [0.5, 0.4], [1, 1]]`, ``, []string{"63.Law={[] []}"}},
		{`coil = { value = "2.7 H"`, `coil = { value = "2.8 H"`, nil},
		{`measured = { value = "2.72 H" }`, `measured = { value = "2.65 H" }`, []string{"63.coil.Henries=2.65"}},
		{`, measured = { value = "2.72 H" }`, ``, []string{"63.coil.Henries=2.7"}},
		{`dcr = "255 ohm"`, `dcr = "250 ohm"`, []string{"63.coil.DCR=250"}},
		{`core_loss = "180k"`, `core_loss = "170k"`, []string{"63.coil.CoreOhms=170000"}},
		{`self_capacitance = "400p"`, `self_capacitance = "410p"`, []string{"63.coil.SelfFarads=4.1e-10"}},
		{`self_capacitance_inside = false`, `self_capacitance_inside = true`, []string{"63.coil.SelfInside=true"}},
		{`capacitor = { value = "2u2"`, `capacitor = { value = "2u3"`, nil},
		{`measured = { value = "2.23u" }`, `measured = { value = "2.25u" }`, []string{"63.capacitor.Farads=2.25e-06"}},
		{`, measured = { value = "2.23u" }`, ``, []string{"63.capacitor.Farads=2.2e-06"}},
		{`loss = 0.004`, `loss = 0.005`, []string{"63.capacitor.Loss=0.005"}},
		{`esr = "0.15 ohm"`, `esr = "0.25 ohm"`, []string{"63.capacitor.ESR=0.25"}},
		{`resistor = { value = "330R"`, `resistor = { value = "300R"`, nil},
		{`measured = { value = "331R" }`, `measured = { value = "329R" }`, []string{"63.resistor.Ohms=329"}},
		{`, measured = { value = "331R" }`, ``, []string{"63.resistor.Ohms=330"}},
		{`slider = { value = "11k"`, `slider = { value = "9k"`, []string{"400.Track=9000"}},
		{`value = "390 mH"`, `value = "0.4 H"`, []string{"400.coil.Henries=0.4"}},
		{`value = "390n"`, `value = "400n"`, []string{"400.capacitor.Farads=4e-07"}},
		{`resistor = { value = "470R" }`, `resistor = { value = "0R" }`, []string{"400.resistor.Ohms=0"}},
	} {
		if got := changes(before, partsOf(t, edited(t, reachJob, c.old, c.new))); !same(got, c.want) {
			t.Errorf("%q to %q changes %q, want %q", c.old, c.new, got, c.want)
		}
	}
}

// What is no part reaches the engine all the same.
func TestTemperatureAndLevelReachTheEngine(t *testing.T) {
	for text, want := range map[string]float64{
		reachJob: 308.15,
		edited(t, reachJob, `temperature = "35 °C"`, `temperature = "-10 °C"`): 263.15,
		edited(t, reachJob, "temperature = \"35 °C\"\n", ""):                   0, // the engine's own
		edited(t, reachJob, `temperature = "35 °C"`, `temperature = "0.5 °C"`): 273.65,
	} {
		c, _ := opened(t, text, none)
		if s := c.equaliser.Spec(); s.Kelvin != want || s.LevelVolts != 0.5 {
			t.Errorf("%g K, %g V, want %g K, 0.5 V", s.Kelvin, s.LevelVolts, want)
		}
	}
	c, _ := opened(t, edited(t, reachJob, "level = \"0.5 V\"\n", ""), none)
	if s := c.equaliser.Spec(); s.LevelVolts != 0 || s.Bands[0].Hz != 63 || s.Bands[1].Hz != 400 {
		t.Errorf("%g V, bands at %g and %g Hz", s.LevelVolts, s.Bands[0].Hz, s.Bands[1].Hz)
	}
}

// written gives a [[part]] of a kind with other values than its defaults.
func written(kind job.Kind, points []string, value string, set map[string]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "[[part]]\nname = \"x\"\nkind = %q\n", kind.Name)
	if len(points) > 0 {
		fmt.Fprintf(&b, "points = [\"%s\"]\n", strings.Join(points, `", "`))
	}
	if value != "" {
		fmt.Fprintf(&b, "value = %q\n", value)
	}
	if len(set) > 0 {
		var pairs []string
		for _, p := range kind.Set {
			if v, ok := set[p.Name]; ok {
				pairs = append(pairs, fmt.Sprintf("%s = %q", p.Name, v))
			}
		}
		fmt.Fprintf(&b, "set = { %s }\n", strings.Join(pairs, ", "))
	}
	return b.String()
}

// sample is a legal part of each kind: its points, its value and another, and
// two values of each property, with the field of the circuit's part that each
// sets and what the second is there.
type sample struct {
	points      []string
	value       [2]string
	field, want string
	set         map[string][4]string // property: first, second, field, want
	more        string               // what else the job needs
}

func samples() map[string]sample {
	two := []string{"in", "0"}
	return map[string]sample{
		"resistor": {points: two, value: [2]string{"4k7", "5k6"}, field: "Ohms", want: "5600"},
		"capacitor": {points: two, value: [2]string{"47n", "56n"}, field: "Farads", want: "5.6e-08", set: map[string][4]string{
			"loss": {"0.01", "0.02", "Loss", "0.02"}, "esr": {"1 ohm", "2 ohm", "ESR", "2"}}},
		"inductor": {points: two, value: [2]string{"1 H", "2 H"}, field: "Henries", want: "2", set: map[string][4]string{
			"dcr": {"100 ohm", "110 ohm", "DCR", "110"}, "dcr_at": {"35 °C", "20 °C", "DCR", "105.89500000000001"}, "core_loss": {"100k", "110k", "CoreOhms", "110000"},
			"self_capacitance":        {"100p", "110p", "SelfFarads", "1.1e-10"},
			"self_capacitance_inside": {"false", "true", "SelfInside", "true"}}},
		"slider": {points: []string{"in", "x.w", "0"}, value: [2]string{"10k", "22k"}, field: "Track", want: "22000", set: map[string][4]string{
			"law":       {"0 0, 0.5 0.2, 1 1", "0 0, 0.5 0.3, 1 1", "Law", "{[0 0.5 1] [0 0.3 1]}"},
			"boost_end": {"1 ohm", "2 ohm", "BoostEnd", "2"}, "cut_end": {"1 ohm", "3 ohm", "CutEnd", "3"},
			"wiper": {"1 ohm", "4 ohm", "WiperOhms", "4"}}},
		"voltage-source": {points: []string{"x.p", "0"}, value: [2]string{"1 V", "-2 V"}, field: "DC", want: "-2"},
		"current-source": {points: []string{"0", "out"}, value: [2]string{"1 uA", "-2 uA"}, field: "DC", want: "-2e-06"},
		"switch":         {set: map[string][4]string{"positions": {"up, down", "up, down, off", "Positions", "[up down off]"}}},
		"contact": {points: two, value: [2]string{"1 ohm", "2 ohm"}, field: "OnOhms", want: "2", set: map[string][4]string{
			"switch": {"x.s", "x.t", "Switch", "x.t"}, "closed": {"b", "b, c", "Closed", "[b c]"},
			"open": {"1M", "2M", "OffOhms", "2e+06"}},
			more: "[[part]]\nname = \"x.s\"\nkind = \"switch\"\nset = { positions = \"a, b, c\" }\n[[part]]\nname = \"x.t\"\nkind = \"switch\"\nset = { positions = \"a, b, c\" }\n"},
		"wire": {points: []string{"in", "x.w"}},
		"diode": {points: []string{"out", "rail"}, set: map[string][4]string{
			"is": {"1 nA", "2 nA", "Is", "2e-09"}, "n": {"1.5", "1.6", "N", "1.6"}}},
		"zener": {points: []string{"0", "x.z"}, value: [2]string{"12 V", "15 V"}, field: "Volts", want: "15", set: map[string][4]string{
			"test_current": {"5 mA", "20 mA", "TestAmperes", "0.02"}, "slope": {"9 ohm", "10 ohm", "SlopeOhms", "10"},
			"is": {"1e-15 A", "2e-15 A", "Is", "2e-15"}, "n": {"1.1", "1.2", "N", "1.2"}},
			more: "[[part]]\nname = \"x.r\"\nkind = \"resistor\"\npoints = [\"rail\", \"x.z\"]\nvalue = \"1k\"\n"},
		"triode": {points: []string{"rail", "out", "0"}, set: map[string][4]string{
			"mu": {"100", "90", "Mu", "90"}, "exponent": {"1.4", "1.5", "Exponent", "1.5"}, "kg1": {"1060", "1100", "KG1", "1100"},
			"kp": {"600", "500", "KP", "500"}, "kvb": {"300", "250", "KVB", "250"}, "grid_is": {"1 nA", "2 nA", "GridIs", "2e-09"},
			"grid_n": {"3", "4", "GridN", "4"}, "grid_cathode": {"1p", "2p", "GridCathodeFarads", "2e-12"},
			"grid_plate": {"1.5p", "2p", "GridPlateFarads", "2e-12"}, "plate_cathode": {"0.5p", "1p", "PlateCathodeFarads", "1e-12"}}},
		"coupling": {value: [2]string{"0.1", "-0.2"}, field: "K", want: "-0.2", set: map[string][4]string{
			"first": {"63.coil", "x.l", "First", "x.l"}, "second": {"400.coil", "x.m", "Second", "x.m"}},
			more: "[[part]]\nname = \"x.l\"\nkind = \"inductor\"\npoints = [\"in\", \"0\"]\nvalue = \"1 H\"\nset = { dcr = \"1k\" }\n" +
				"[[part]]\nname = \"x.m\"\nkind = \"inductor\"\npoints = [\"in\", \"0\"]\nvalue = \"1 H\"\nset = { dcr = \"1k\" }\n"},
		"transistor": {points: []string{"rail", "out", "out"}, set: map[string][4]string{
			"type": {"npn", "pnp", "PNP", "true"}, "is": {"1e-14 A", "2e-14 A", "Is", "2e-14"},
			"beta_f": {"200", "210", "BetaF", "210"}, "beta_r": {"3", "4", "BetaR", "4"}, "n": {"1.1", "1.2", "N", "1.2"},
			"early": {"70 V", "80 V", "EarlyVolts", "80"}, "base_emitter": {"10p", "11p", "BaseEmitterFarads", "1.1e-11"},
			"base_collector": {"3p", "4p", "BaseCollectorFarads", "4e-12"}}},
		"op-amp": {points: []string{"in", "x.o", "x.o"}, set: map[string][4]string{
			"ideal": {"false", "true", "Ideal", "true"}, "gain": {"1e5", "2e5", "Gain", "200000"},
			"gain_bandwidth": {"1 MHz", "2 MHz", "GainBandwidth", "2e+06"}, "input": {"1M", "2M", "InputOhms", "2e+06"},
			"output": {"50 ohm", "60 ohm", "OutputOhms", "60"}}},
	}
}

// Every property of every kind of [[part]] reaches its field: of a part added,
// of a part changed by a later job, and measured before marked.
func TestEveryPropertyReachesItsField(t *testing.T) {
	all := samples()
	for _, kind := range job.Kinds() {
		s, ok := all[kind.Name]
		if !ok || len(s.set) != len(kind.Set) || (s.value[0] != "") != (kind.Value != job.UnitNone) {
			t.Errorf("no full sample of a %s", kind.Name)
			continue
		}
		first := map[string]string{}
		for name, v := range s.set {
			first[name] = v[0]
		}
		base := reachJob + s.more
		before := partsOf(t, base+written(kind, s.points, s.value[0], first))
		if got := changes(partsOf(t, base), before); !same(got, []string{"x new"}) {
			t.Errorf("a new %s changes %q", kind.Name, got)
		}
		if got := before["x"].Terminals(); len(kind.Points) > 0 && !reflect.DeepEqual(got, s.points) {
			t.Errorf("%s: points %q, want %q", kind.Name, got, s.points)
		}
		check := func(what, text, field, want string) {
			t.Helper()
			if got := changes(before, partsOf(t, base+text)); !same(got, []string{"x." + field + "=" + want}) {
				t.Errorf("%s of a %s: %q, want %s=%s", what, kind.Name, got, field, want)
			}
		}
		if s.value[0] != "" {
			check("value", written(kind, s.points, s.value[1], first), s.field, s.want)
			check("measured", written(kind, s.points, s.value[0], first)+fmt.Sprintf("measured = %q\n", s.value[1]), s.field, s.want)
		}
		for name, v := range s.set {
			other := map[string]string{}
			for n, f := range first {
				other[n] = f
			}
			other[name] = v[1]
			check(name, written(kind, s.points, s.value[0], other), v[2], v[3])
		}
	}
}

// A law by its name is circuit's law of that share, of a band's slider too.
func TestNamedLawReaches(t *testing.T) {
	for text, want := range map[string]circuit.Law{
		"S 80 %": circuit.SLaw(0.8), "audio 15 %": circuit.AudioLaw(0.15), "reverse-audio 15 %": circuit.AudioLaw(0.15).Reversed(),
	} {
		parts := partsOf(t, reachJob+fmt.Sprintf("[[part]]\nname = \"63\"\nset = { law = %q }\n", text))
		if got := parts["63"].(circuit.Slider).Law; !reflect.DeepEqual(got, want) {
			t.Errorf("%s: %v", text, got)
		}
	}
}

// A coil's copper is taken to the job's temperature from the one it was
// measured at: 40 K are 15.7 % (IEC 60028). Without either it stays as entered.
func TestCopperIsWarm(t *testing.T) {
	const measured = `measured = { value = "2.72 H" }`
	dcr := func(text string) float64 { return partsOf(t, text)["63.coil"].(circuit.Inductor).DCR }
	at := strings.Replace(reachJob, measured, `measured = { value = "2.72 H", temperature = "20 °C" }`, 1)
	at = strings.Replace(at, `temperature = "35 °C"`, `temperature = "60 °C"`, 1)
	if got := dcr(at) / 255; !(got > 1.15719999 && got < 1.15720001) {
		t.Errorf("40 K: %g of the resistance measured", got)
	}
	for _, text := range []string{reachJob, strings.Replace(at, "temperature = \"60 °C\"\n", "", 1)} {
		if got := dcr(text); got != 255 {
			t.Errorf("%g ohm, entered 255", got)
		}
	}
}

// A [[part]] without a kind changes what it says and nothing else, be it of
// the drawing or of a band; one with a kind is written out whole.
func TestPartsOfTheDrawingAreChanged(t *testing.T) {
	before := partsOf(t, reachJob)
	for text, want := range map[string][]string{
		"name = \"R.load\"\nvalue = \"2k7\"":                                                     {"R.load.Ohms=2700"},
		"name = \"R.load\"\nvalue = \"2k7\"\nmeasured = \"2.68k\"":                               {"R.load.Ohms=2680"},
		"name = \"R.load\"\nmeasured = \"2.21k\"":                                                {"R.load.Ohms=2210"},
		"name = \"R.load\"\ntolerance = \"5 %\"":                                                 nil,
		"name = \"R.load\"\npoints = [\"out.coupled\", \"0\"]":                                   {"R.load.A=out.coupled"},
		"name = \"C.out\"\nset = { esr = \"1 ohm\" }":                                            {"C.out.ESR=1"},
		"name = \"q1\"\nset = { beta_f = 150 }":                                                  {"q1.BetaF=150"},
		"name = \"q2\"\nset = { early = \"60 V\", is = \"2e-14 A\" }":                            {"q2.EarlyVolts=60", "q2.Is=2e-14"},
		"name = \"63.coil\"\nset = { core_loss = \"200k\" }":                                     {"63.coil.CoreOhms=200000"},
		"name = \"63.coil\"\nvalue = \"2.5 H\"":                                                  {"63.coil.Henries=2.5"},
		"name = \"63\"\nset = { boost_end = \"9 ohm\" }":                                         {"63.BoostEnd=9"},
		"name = \"63\"\npoints = [\"cut\", \"63.wiper\", \"boost\"]":                             {"63.Boost=cut", "63.Cut=boost"},
		"name = \"rail\"\nvalue = \"23 V\"":                                                      {"rail.DC=23"},
		"name = \"lift\"\nset = { open = \"10M\" }":                                              {"lift.OffOhms=1e+07"},
		"name = \"source.ohms\"\nvalue = \"0 ohm\"":                                              {"source.ohms.Ohms=0"},
		"name = \"R.e\"\nkind = \"resistor\"\npoints = [\"q1.emitter\", \"0\"]\nvalue = \"33k\"": {"R.e.Ohms=33000"},
		"name = \"R.bleed\"\nkind = \"inductor\"\npoints = [\"out.coupled\", \"0\"]\nvalue = \"100 H\"\nset = { dcr = \"1k\" }": {
			"R.bleed=circuit.Inductor"},
		// of the drawing's transistor nothing stays: early and capacitances are the document's
		"name = \"q1\"\nkind = \"transistor\"\npoints = [\"q1.collector\", \"q1.base\", \"q1.emitter\"]\nset = { type = \"npn\", is = \"1e-14 A\", beta_f = 300 }": {
			"q1.BetaR=1", "q1.N=0", "q1.EarlyVolts=0", "q1.BaseEmitterFarads=0", "q1.BaseCollectorFarads=0"},
	} {
		if got := changes(before, partsOf(t, reachJob+"[[part]]\n"+text+"\n")); !same(got, want) {
			t.Errorf("%q changes %q, want %q", text, got, want)
		}
	}
}
