package job

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"

	"bandwright/quantity"
)

// plain gives a copy of a job as a text can hold it: without lines, nothing
// empty where nil would do. It goes through Encode, which the whole-document
// test holds to the same standard.
func plain(j *Job) *Job {
	copied := *j
	tidy(reflect.ValueOf(&copied).Elem())
	return &copied
}

// tidy makes lines 0, and empty lists and maps nil, all the way down; lists and
// tables are copied before.
func tidy(v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).Tag.Get("toml") == "-" {
				v.Field(i).SetZero()
				continue
			}
			tidy(v.Field(i))
		}
	case reflect.Pointer:
		if !v.IsNil() && v.Elem().Kind() == reflect.Struct && v.Elem().NumField() > 0 && v.Type().Elem().Field(0).IsExported() {
			p := reflect.New(v.Type().Elem())
			p.Elem().Set(v.Elem())
			tidy(p.Elem())
			v.Set(p)
		}
	case reflect.Slice, reflect.Map:
		if v.Len() == 0 {
			v.SetZero()
			return
		}
		if v.Kind() == reflect.Slice {
			own := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
			reflect.Copy(own, v)
			for i := range own.Len() {
				tidy(own.Index(i))
			}
			v.Set(own)
		}
	}
}

// deepCopy goes through the text, so that edits never touch the original.
func deepCopy(t *testing.T, text []byte) *Job {
	t.Helper()
	j, list := Decode("copy", text)
	if j == nil {
		t.Fatalf("%v in\n%s", list, text)
	}
	return j
}

func commentLines(text []byte) []string {
	var lines []string
	for _, c := range plant(text).comments {
		lines = append(lines, strings.TrimSpace(string(text[c.start:c.end])))
	}
	slices.Sort(lines)
	return lines
}

// editors are the kinds of change a person makes.
var editors = []func(r *rand.Rand, j *Job){
	func(r *rand.Rand, j *Job) { j.Title = fmt.Sprintf("title \"%d\" \\ µ\n\x01", r.IntN(1000)) },
	func(r *rand.Rand, j *Job) { j.Amp = pick(r, "", "another head", "# not a comment") },
	func(r *rand.Rand, j *Job) { j.Invented = !j.Invented },
	func(r *rand.Rand, j *Job) { j.Agreed = Agreed{Price: pick(r, "", "100"), Notes: "line one\nline two"} },
	func(r *rand.Rand, j *Job) { j.Agreed = Agreed{} },
	func(r *rand.Rand, j *Job) { j.Found.Mains = maybe(r, quantity.Volts(229.5)) },
	func(r *rand.Rand, j *Job) { j.Celsius = maybe(r, quantity.Celsius(40)) },
	func(r *rand.Rand, j *Job) { j.Found.Photos = j.Found.Photos[:r.IntN(len(j.Found.Photos)+1)] },
	func(r *rand.Rand, j *Job) {
		j.Found.Photos = append(j.Found.Photos, fmt.Sprint("p", r.IntN(99), ".jpg"))
	},
	func(r *rand.Rand, j *Job) {
		j.Found.Volts = append(j.Found.Volts, FoundVolt{fmt.Sprint("tag ", r.IntN(50)), quantity.Volts(r.IntN(400))})
	},
	func(r *rand.Rand, j *Job) { j.Found.Volts = j.Found.Volts[:r.IntN(len(j.Found.Volts)+1)] },
	func(r *rand.Rand, j *Job) { j.TapIn.SourceOhms = quantity.Ohms(r.IntN(5) * 1000) },
	func(r *rand.Rand, j *Job) { j.TapIn.LoadFarads = maybe(r, quantity.Farads(100e-12)) },
	func(r *rand.Rand, j *Job) { j.Driver.Drawing = pick(r, "", "ideal", "op-amp") },
	func(r *rand.Rand, j *Job) { j.Curves, j.Lift = nil, nil },
	func(r *rand.Rand, j *Job) { j.Lift = &Lift{LeadFarads: maybe(r, quantity.Farads(1e-9))} },
	func(r *rand.Rand, j *Job) { j.Lift = &Lift{ContactOhms: 200, OpenOhms: maybe(r, quantity.Ohms(10e6))} },
	func(r *rand.Rand, j *Job) { j.Bypass = nil },
	func(r *rand.Rand, j *Job) { j.Bypass = &Bypass{GroundsInput: r.IntN(2) == 0} },
	func(r *rand.Rand, j *Job) { r.Shuffle(len(j.Bands), func(a, b int) { swap(j.Bands, a, b) }) },
	func(r *rand.Rand, j *Job) {
		b := Band{Name: fmt.Sprint(r.IntN(9000) + 500), Centre: quantity.Hertz(1 + r.IntN(9000))}
		b.Slider.Value, b.Coil.Value, b.Capacitor.Value = 10000, 0.5, 1e-7
		j.Bands = slices.Insert(j.Bands, r.IntN(len(j.Bands)+1), b)
		j.Curves = nil
	},
	func(r *rand.Rand, j *Job) {
		if at := r.IntN(len(j.Bands)); len(j.Bands) > 1 {
			j.Curves, j.Bands = nil, slices.Delete(j.Bands, at, at+1)
		}
	},
	func(r *rand.Rand, j *Job) {
		j.Bands[r.IntN(len(j.Bands))].Name, j.Curves = fmt.Sprint("b", r.IntN(1e6)), nil
	},
	func(r *rand.Rand, j *Job) { anyBand(r, j).Coil = Coil{Value: 0.1, DCR: maybe(r, quantity.Ohms(12))} },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Coil.Measured = Measured{Meter: pick(r, "", "m")} },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Coil.MeasuredValue = maybe(r, quantity.Henries(1.08)) },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Capacitor.Loss = maybe(r, 0.00001) },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Capacitor.ESR = maybe(r, quantity.Ohms(0.3)) },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Resistor = Resistor{} },
	func(r *rand.Rand, j *Job) {
		anyBand(r, j).Resistor.Tolerance = maybe(r, quantity.Tolerance{Minus: 0.01, Plus: 0.01})
	},
	func(r *rand.Rand, j *Job) { anyBand(r, j).Slider.Law = [][2]float64{{0, 0}, {0.25, 1e-7}, {1, 1}} },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Slider.Law = nil },
	func(r *rand.Rand, j *Job) { anyBand(r, j).Slider.Travel = maybe(r, quantity.Metres(0.045)) },
	func(r *rand.Rand, j *Job) {
		j.Parts = append(j.Parts, Part{Name: fmt.Sprint("X", r.IntN(1e6)), Kind: "transistor", Points: []string{"c", "b", "0"},
			Set: map[string]string{"type": "pnp", "is": "1e-14 A", "beta_f": "150"}})
	},
	func(r *rand.Rand, j *Job) { j.Parts = j.Parts[:r.IntN(len(j.Parts)+1)] },
	func(r *rand.Rand, j *Job) { r.Shuffle(len(j.Parts), func(a, b int) { swap(j.Parts, a, b) }) },
	func(r *rand.Rand, j *Job) {
		for i := range j.Parts {
			if j.Parts[i].Kind == "capacitor" {
				j.Parts[i].Set = pickSet(r)
			}
		}
	},
	func(r *rand.Rand, j *Job) {
		for i := range j.Curves {
			j.Curves[i].Setting, j.Curves[i].Read.Phase = "flat", pick(r, "", "none")
		}
	},
	func(r *rand.Rand, j *Job) { j.Fitting = append(j.Fitting, Step{Do: fmt.Sprint("step ", r.IntN(4))}) },
	func(r *rand.Rand, j *Job) { j.Fitting = j.Fitting[:r.IntN(len(j.Fitting)+1)] },
	func(r *rand.Rand, j *Job) { r.Shuffle(len(j.Fitting), func(a, b int) { swap(j.Fitting, a, b) }) },
	func(r *rand.Rand, j *Job) { j.Safety.Leakage = pick(r, "", "0.2 mA") },
	func(r *rand.Rand, j *Job) { j.Safety = Safety{By: "N. N."} },
	func(r *rand.Rand, j *Job) {
		if j.Bypass == nil {
			j.Runs = append(j.Runs, Run{Name: fmt.Sprint("run ", r.IntN(1e6)), From: "a", To: pick(r, "b", "c"),
				Length: maybe(r, quantity.Metres(0.25)), Kind: pick(r, "", "lead", "0V"), Last: r.IntN(2) == 0})
		}
	},
	func(r *rand.Rand, j *Job) { j.Runs = j.Runs[:r.IntN(len(j.Runs)+1)] },
	func(r *rand.Rand, j *Job) {
		for i := range j.Runs {
			j.Runs[i].State, j.Runs[i].Colour = pick(r, "", "made", "removed"), pick(r, "", "red")
		}
	},
	func(r *rand.Rand, j *Job) {
		if j.Bypass == nil {
			j.Wiring = maybe(r, Wiring{BoardGround: "board.0", Rows: []string{"a, b"}, MostAtLug: r.IntN(5)})
		}
	},
	func(r *rand.Rand, j *Job) {
		for i := range j.Switches {
			j.Switches[i].Contacts = append(j.Switches[i].Contacts, SwitchContact{A: "x", B: fmt.Sprint("y", r.IntN(9)), Closed: []string{"in"}})
		}
	},
	func(r *rand.Rand, j *Job) { j.Links, j.Moved = j.Links[:r.IntN(len(j.Links)+1)], nil },
	func(r *rand.Rand, j *Job) {
		for i := range j.Intents {
			j.Intents[i].Want = pick(r, "joined", "open", "through")
		}
	},
}

func pick(r *rand.Rand, words ...string) string { return words[r.IntN(len(words))] }

func pickSet(r *rand.Rand) map[string]string {
	return []map[string]string{nil, {"esr": "2"}, {"loss": "0.01"}, {"loss": "0.002", "esr": "1 ohm"}}[r.IntN(4)]
}

func maybe[T any](r *rand.Rand, x T) *T {
	if r.IntN(2) == 0 {
		return nil
	}
	return &x
}

func swap[T any](s []T, a, b int) { s[a], s[b] = s[b], s[a] }

func anyBand(r *rand.Rand, j *Job) *Band { return &j.Bands[r.IntN(len(j.Bands))] }

// updatable are the texts that the edits are tried on: the same keys written
// in several ways.
func updatable(t *testing.T) map[string][]byte {
	whole := read(t, "testdata/whole.toml")
	encoded, err := Encode(deepCopy(t, whole))
	if err != nil {
		t.Fatal(err)
	}
	return map[string][]byte{
		"whole":       whole,
		"wired":       read(t, "testdata/wired.toml"),
		"other hand":  read(t, "testdata/otherhand.toml"),
		"CRLF":        bytes.ReplaceAll(whole, []byte("\n"), []byte("\r\n")),
		"mark":        append([]byte("\xef\xbb\xbf"), whole...),
		"no last end": bytes.TrimRight(whole, "\n"),
		"encoded":     encoded,
		"no comments": bytes.TrimRight(encoded, "\n"),
	}
}

func TestUpdateWithoutChangeKeepsEveryByte(t *testing.T) {
	for name, text := range updatable(t) {
		got, err := Update(text, deepCopy(t, text))
		if err != nil || !bytes.Equal(got, text) {
			t.Errorf("%s: %v\n%s", name, err, got)
		}
	}
}

// TestUpdateRoundTrip makes random edits, one upon another, and asks each
// time that the text says exactly what the job says and has kept its comments.
func TestUpdateRoundTrip(t *testing.T) {
	const seed = 20260125
	t.Logf("seed %d", seed)
	for name, text := range updatable(t) {
		r := rand.New(rand.NewPCG(seed, uint64(len(text))))
		original, start := commentLines(bytes.TrimPrefix(text, byteOrderMark)), text
		for round := range 100 {
			if round%25 == 0 {
				text = start
			}
			want := deepCopy(t, text)
			for range 1 + r.IntN(3) {
				editors[r.IntN(len(editors))](r, want)
			}
			if Check(want).Err() != nil {
				continue // two bands drew one name
			}
			got, err := Update(text, want)
			if err != nil {
				t.Fatalf("%s, round %d: %v", name, round, err)
			}
			if back := deepCopy(t, got); !reflect.DeepEqual(plain(back), plain(want)) {
				t.Fatalf("%s, round %d: the text says otherwise\nwas\n%s\ngot\n%s\nwant %+v\n has %+v", name, round, text, got, plain(want), plain(back))
			}
			if lost := missing(original, commentLines(bytes.TrimPrefix(got, byteOrderMark))); len(lost) > 0 {
				t.Fatalf("%s, round %d: lost comments %q\nwas\n%s\ngot\n%s", name, round, lost, text, got)
			}
			text = got
		}
	}
}

// missing gives the lines of want that have lacks; lines may stand twice.
func missing(want, have []string) []string {
	count := map[string]int{}
	for _, l := range have {
		count[l]++
	}
	var lost []string
	for _, l := range want {
		if count[l]--; count[l] < 0 {
			lost = append(lost, l)
		}
	}
	return lost
}
