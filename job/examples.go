package job

// examples gives the value a hint shows for a key, by the key's last name.
// docs/job-file.md shows every key in its place.
var examples = map[string]string{
	"format": `1`, "title": `"Six-band equaliser for a bass head"`, "temperature": `"35 °C"`,
	"name": `"63"`, "centre": `"63 Hz"`, "frequency": `"120 Hz"`,
	"value": `"4k7"`, "source": `"1k"`, "load": `"470k"`, "load_capacitance": `"120p"`, "generator": `"600 ohm"`,
	"level": `"0 dBu"`, "mains": `"231 V"`, "rail": `"24 V"`, "reading": `"182 V"`,
	"feed": `"2k2"`, "feedback": `"2k2"`, "contact": `"0.1 ohm"`, "lead": `"600p"`,
	"tolerance": `"5 %"`, "ends": `"2 ohm"`, "wiper": `"5 ohm"`, "travel": `"30 mm"`, "dcr": `"210 ohm"`,
	"core_loss": `"250k"`, "self_capacitance": `"300p"`, "self_capacitance_inside": `false`,
	"esr": `"0.1 ohm"`, "loss": `0.004`, "law": `[[0, 0], [0.5, 0.2], [1, 1]]`,
	"lies": `"skewed"`, "batch": `"bag 3"`, "common": `0.6`, "shape": `"S 80 %"`, "dcr_at": `"22 °C"`,
	"kind": `"capacitor"`, "points": `["boost", "0"]`, "set": `{ esr = "1 ohm" }`,
	"do": `"Cut the link"`, "where": `"first anode"`,
	"role": `"measured"`, "file": `"unit-a.csv"`, "setting": `"63=+1"`, "invented": `true`, "grounds_input": `true`,
	"photos": `["tap-in.jpg"]`, "positions": `"in, lifted"`, "closed": `"in"`, "switch": `"footswitch"`,
	"type": `"npn"`, "is": `"1e-14 A"`, "beta_f": `"200"`, "test_current": `"5 mA"`,
	"mu": `"100"`, "exponent": `"1.4"`, "kg1": `"1060"`, "kp": `"600"`, "kvb": `"300"`,
	"band": `"63"`, "boost": `"10 dB"`, "cut": `"-10 dB"`, "q": `1.2`, "series": `"E24"`, "keep": `true`, "dcr_per_henry": `"100 ohm"`,
	"owned": `[{ id = "drawer 4", value = "2.2 H", dcr = "210 ohm" }]`,
	"red":   `"q1.collector"`, "black": `"0"`, "at": `"400 Hz"`, "stage": `"mains"`,
	"dropper": `["dropper"]`, "rated": `{ volts = "50 V" }`,
	"from": `"panel.a2"`, "to": `"in"`, "want": `"joined"`, "tip": `"jack.tip"`, "sleeve": `"jack.sleeve"`, "a": `"panel.a2"`, "b": `"panel.a1"`,
	"metal": `"tinplate"`, "thickness": `"0.4 mm"`, "housing": `{ width = "10 mm", depth = "7 mm" }`, "tongue": `{ width = "2.5 mm", beyond = "2 mm" }`,
	"width": `"10 mm"`, "depth": `"7 mm"`, "height": `"8 mm"`, "beyond": `"2 mm"`, "chassis": `"1.2 mm"`, "one": `"33.5 mm"`, "two": `"44 mm"`,
	"down": `"36 mm"`, "pitch": `"22 mm"`, "lever": `"4 mm"`, "slot_width": `"2 mm"`, "screw_hole": `"3.2 mm"`,
	"across": `"12 mm"`, "size": `"8 mm"`, "text": `"lift"`, "room": `"32 mm"`, "layer": `[{ name = "board", height = "1.6 mm" }]`,
	"first": `"63.coil"`, "second": `"160.coil"`, "open": `"10M"`,
}

// exampleValues are those that a full key has and its last name alone has not.
var exampleValues = map[string]string{
	"band.coil.value": `"2.2 H"`, "band.coil.measured.value": `"2.31 H"`,
	"band.capacitor.value": `"2u2"`, "band.capacitor.measured.value": `"2.25u"`,
	"band.slider.value": `"10k"`, "band.resistor.value": `"470R"`, "band.resistor.measured.value": `"468R"`,
	"wanted.coil.owned.value": `"470 mH"`, "wanted.capacitor.owned.value": `"390n"`, "wanted.resistor.owned.value": `"470R"`,
	"wanted.coil.owned.measured": `"468 mH"`, "wanted.capacitor.owned.measured": `"386n"`, "wanted.resistor.owned.measured": `"468R"`,
	"run.name": `"board in"`, "link.name": `"tag 7 to tag 8"`, "switch.name": `"panel"`, "jack.name": `"jack"`, "moved.name": `"pilot lamp"`,
	"switch.positions": `["in", "out"]`, "switch.contact.closed": `["in"]`, "moved.lead": `"extended"`,
	"feed.tolerance": `"10 %"`, "feed.frequency": `"50 Hz"`, "volts.look": `"20 %"`,
	"panel.width": `"200 mm"`, "panel.height": `"80 mm"`, "panel.thickness": `"1.5 mm"`, "panel.first": `"40 mm"`, "panel.hole.name": `"lamp"`,
	"panel.behind.name": `"coil 63"`, "panel.behind.to": `"filter cap"`, "panel.behind.layer.name": `"board"`, "panel.behind.layer.height": `"1.6 mm"`,
	"part.name": `"R.load"`, "batch.name": `"bag 3"`, "curve.name": `"unit A, 63 full boost"`, "reading.kind": `"volts"`, "reading.value": `"12.1 V"`,
	"band.coil.measured.level": `"0.5 V"`, "band.capacitor.measured.level": `"0.5 V"`,
}

// partExamples are those of a part's value, by the unit of its kind.
var partExamples = map[Unit]string{
	UnitOhm: `"4k7"`, UnitFarad: `"100p"`, UnitHenry: `"680 mH"`, UnitVolt: `"9 V"`, UnitAmpere: `"2 mA"`,
	UnitNumber: `"0.05"`,
}

// example gives the value shown for a key, "" when there is none to show.
func example(keys []string) string {
	full := ""
	for i, k := range keys {
		if i > 0 {
			full += "."
		}
		full += k
	}
	if e, ok := exampleValues[full]; ok {
		return e
	}
	return examples[keys[len(keys)-1]]
}
