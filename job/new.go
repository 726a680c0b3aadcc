package job

import (
	"fmt"
	"strconv"
	"strings"

	"bandwright/equaliser"
	"bandwright/quantity"
)

// New writes the text of a job that already computes, from the answers to
// Questions. Every band gets the coil, capacitor and resistor that would make
// it alone, with an ideal amplifier, what was asked (equaliser.StartingLeg);
// what they make together, the bands table tells. Errors are a finding.List
// of every answer that cannot be used.
func New(answers Answers) ([]byte, error) {
	a := &asker{answers: answers}
	r := a.read()
	if err := a.list.Err(); err != nil {
		return nil, err
	}
	var w strings.Builder
	fmt.Fprintf(&w, newHead, Format, quote(r.title), quote(r.amp),
		quote(r.source), quote(r.load), quote(r.level),
		quote(r.drawing), quote(r.rail), quote(r.feedback))
	fmt.Fprintf(&w, newBands, r.boostDB, r.q, r.perOhms, r.capacitors, r.resistors)
	for _, f := range r.bands {
		r.band(&w, float64(f))
	}
	w.WriteString(newTail)
	return []byte(w.String()), nil
}

// band writes one band. The capacitor is taken from its series first; the
// coil then follows from it, since what tunes a leg is their product.
func (r *answered) band(w *strings.Builder, centre float64) {
	ohms, henries, farads, dcr := equaliser.StartingLeg(centre, r.boostDB, r.q, r.feedOhms, r.perOhms)
	whole := ohms + dcr
	picked := float64(quantity.Nearest(r.capacitors, quantity.Farads(farads)))
	henries *= farads / picked
	dcr = r.perOhms * henries
	note, resistor := "", quantity.Ohms(0)
	if whole > dcr {
		resistor = quantity.Nearest(r.resistors, quantity.Ohms(whole-dcr))
	} else {
		note = "# The coil's own resistance already takes this band below the boost asked for:\n" +
			"# thicker wire, a lower Q or a larger feedback resistor would help.\n"
	}
	fmt.Fprintf(w, newBand, note, quote(strconv.FormatFloat(centre, 'f', -1, 64)), quantity.Hertz(centre),
		quote(r.slider), quantity.Henries(henries).Display(3), quantity.Ohms(dcr).Display(3),
		quantity.Farads(picked), resistor)
}

// The text of a new job, in parts. Its comments are for the person who goes on
// from here.
const (
	newHead = `# A job file. Every key is told in docs/job-file.md; what is left blank prints
# as NOT DONE or takes its default. Values are written as on the bench: 4k7, 2u2.

format = %d
title = %s
amp = %s

# What was settled with the customer before work began.
[agreed]
customer = ""
wants = ""
price = ""
date = ""
by = ""

# The amplifier as it arrived, before anything is touched.
[found]
mains = ""
rail = ""
hum = ""
repairs = ""
measured = ""
volts = []

# Where the equaliser goes between.
[tap_in]
where = ""
source = %s # ohms the tap-in point drives from
load = %s # ohms at the return
level = %s # strongest signal expected
cut = ""
zero_volt = ""
rail_tap = ""

# The feed resistor is left out: it is then what the source leaves of the
# feedback resistor, so that boost and cut are alike.
[driver]
drawing = %s
rail = %s
feedback = %s

# The footswitch's contact, and the bypass on the panel.
[lift]
contact = "0.1 ohm"

[bypass]
contact = "0.05 ohm"
grounds_input = true
`
	newBands = `
# The bands. Each leg is a start: what would give %g dB of boost with a Q of %g
# to a band alone, coils taken at %g ohm for each henry (assumed: measure
# yours), capacitors from %v, resistors from %v. Neighbours pull centres apart
# and lower the boost: look at the bands table, then change the values here.
`
	newBand = `
%s[[band]]
name = %s
centre = "%v"
slider = { value = %s, tolerance = "20 %%" }
coil = { value = "%s", tolerance = "10 %%", dcr = "%s" }
capacitor = { value = "%v", tolerance = "5 %%" }
resistor = { value = "%v", tolerance = "1 %%" }
`
	newTail = `
# The fitting list, in the order of work. Put a date or initials in done.
[[fitting]]
do = "Photograph the tap-in before anything is cut"
done = ""

[[fitting]]
do = "Test the board on the bench: DC points, then each band"
done = ""

[[fitting]]
do = "Cut the link, label both ends, tap in"
done = ""

[[fitting]]
do = "Ring out every joint with the power off"
done = ""

[[fitting]]
do = "First power-up on the lamp limiter"
done = ""

# Readings before the amp goes back; their limits are those of your country.
[safety]
earth_bond = ""
leakage = ""
insulation = ""
soak = ""
date = ""
by = ""
`
)
