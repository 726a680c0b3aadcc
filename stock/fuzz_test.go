package stock

import (
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// holds checks what must be true of any bytes: a finding of the file, or a
// drawer whose rows are all accounted for, whose values are all possible,
// that asks sensible questions of its parts, and that is written and read
// back to itself.
func holds(t *testing.T, raw []byte, m Mapping) (parts int) {
	t.Helper()
	d, err := Read(bytes.NewReader(raw), m)
	if err != nil {
		if list, ok := finding.From(err); !ok || list.Worst() != finding.Error {
			t.Errorf("%q: %v", raw, err)
		}
		return 0
	}
	accounted(t, d, string(raw))
	if _, err := json.Marshal(d); err != nil {
		t.Errorf("%q: %v", raw, err)
	}
	for _, p := range d.Parts {
		usable(t, p)
	}
	if m.check() != nil || d.Mapping.check() != nil {
		t.Errorf("%q: mapping %+v is not its own", raw, d.Mapping)
	}
	var text bytes.Buffer
	if err := Write(&text, d.Parts); err != nil {
		t.Errorf("%q: %v", raw, err)
		return 0
	}
	back, err := Read(&text, Mapping{})
	if err != nil || back.Counts.Bad > 0 || len(back.Parts) != len(d.Parts) {
		t.Errorf("%q: written as %q: %v %v", raw, text.String(), err, back.Findings)
		return 0
	}
	a, _ := json.Marshal(plainParts(d.Parts))
	b, _ := json.Marshal(plainParts(back.Parts))
	if !bytes.Equal(a, b) {
		t.Errorf("%q: %s came back as %s", raw, a, b)
	}
	return len(d.Parts)
}

// usable asks a part at a band and wants finite numbers.
func usable(t *testing.T, p Part) {
	t.Helper()
	for _, hertz := range [...]float64{63, 6300} {
		e := p.SeriesAt(hertz, 35, HandMeter())
		law, _ := p.Law(hertz, 35, HandMeter())
		for _, v := range [...]float64{e.Value, e.SE, e.Ohms, e.OhmsSE, e.Q, e.ModelSE, e.DCRSE, e.Model.Henries, e.Model.DCR,
			e.Model.CoreOhms, e.Model.SelfFarads, e.Model.Farads, e.Model.Loss, e.Model.Ohms, law.Nominal, law.Low, law.High, law.SD} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%+v at %v Hz: %+v %+v", p, hertz, e, law)
			}
		}
		if e.SE < 0 || law.Low <= 0 || law.Low > law.Nominal || law.High < law.Nominal {
			t.Fatalf("%+v: %+v %+v", p, e, law)
		}
	}
}

// fuzzSeeds are the drawers of the other tests.
func fuzzSeeds(t testing.TB) (seeds [][]byte) {
	seeds = append(seeds, []byte(plainDrawer))
	for _, m := range malformed {
		raw, err := os.ReadFile(filepath.Join("testdata", "malformed", m.file))
		if err != nil {
			t.Fatal(err)
		}
		seeds = append(seeds, raw)
	}
	for _, name := range []string{"semicolons, decimal commas, a byte mark, CRLF", "tabs, another order, other words, units in titles",
		"German words, sep line, a column for each kind", "everything in quotes, old line ends"} {
		seeds = append(seeds, []byte(dressings[name]))
	}
	return seeds
}

func FuzzRead(f *testing.F) {
	for _, s := range fuzzSeeds(f) {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, raw []byte) { holds(t, raw, Mapping{}) })
}

// Twenty thousand mutations of the seeds.
func TestMutations(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260302), 7))
	seeds := fuzzSeeds(t)
	bits := strings.Split("\"|,|;|\t|\n|\r\n|\r|#|±|%|µ|Ω|-|1e|1e9|.|0|1,234|5|k|m|\xff|\x00|\ufeff|sep=;\n|id|value|Q|C|coil|104K|@ 1 kHz|(mH)| ", "|")
	withParts := 0
	for range trials.Count(20_000) {
		from := rng.IntN(len(seeds))
		if rng.IntN(2) == 0 { // the good drawers are few among the malformed
			from = (len(seeds) - rng.IntN(5)) % len(seeds)
		}
		raw := append([]byte(nil), seeds[from]...)
		for range 1 + rng.IntN(5) {
			raw = mutate(rng, raw, bits, seeds)
		}
		m := Mapping{NoTitles: rng.IntN(20) == 0}
		if m.NoTitles {
			m.Columns = []Column{{Number: 1, Holds: FieldID}, {Number: 3, Holds: FieldValue}, {Number: 2, Holds: FieldKind}}
		}
		if holds(t, raw, m) > 0 {
			withParts++
		}
		if t.Failed() {
			return
		}
	}
	t.Logf("%d drawers had parts", withParts)
	if withParts < 5000 { // else the mutations would prove little
		t.Errorf("only %d drawers had parts", withParts)
	}
}

func mutate(rng *rand.Rand, raw []byte, bits []string, seeds [][]byte) []byte {
	at := rng.IntN(len(raw) + 1)
	to := min(at+rng.IntN(8), len(raw))
	switch rng.IntN(5) {
	case 0:
		return append(raw[:at:at], raw[to:]...)
	case 1, 2:
		return append(append(raw[:at:at], bits[rng.IntN(len(bits))]...), raw[to:]...)
	case 3:
		return append(append(raw[:at:at], raw[to:]...), raw[at:to]...)
	}
	other := seeds[rng.IntN(len(seeds))]
	return append(raw[:at:at], other[rng.IntN(len(other)+1):]...)
}
