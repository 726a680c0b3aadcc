package bench

import (
	"context"
	"io/fs"
	"math"
	"slices"
	"strings"
	"testing"

	"bandwright/demo"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// demoDrawer reads the demo's drawer, or the rows given below its titles.
func demoDrawer(t *testing.T, rows ...string) *DrawerAnswer {
	t.Helper()
	text, err := fs.ReadFile(demo.BassHead(), "drawer.csv")
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) > 0 {
		lines := strings.SplitN(string(text), "\n", 3)
		text = []byte(lines[1] + "\n" + strings.Join(rows, "\n") + "\n")
	}
	d, _, err := Drawer("drawer.csv", strings.NewReader(string(text)), DrawerQuestion{})
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func boardJob(t *testing.T, text string) *Case {
	t.Helper()
	c, _ := opened(t, text, none)
	return c
}

// twoBands is the demo's job with the bands 160 and 400 alone.
func twoBands(t *testing.T) string {
	t.Helper()
	parts := strings.Split(demoText(t), "[[band]]")
	return parts[0] + "[[band]]" + parts[2] + "[[band]]" + parts[3]
}

// answersBack writes the chosen parts into the job, opens what was written, and
// asks for its bands: they must do what was said of them.
func answersBack(t *testing.T, text string, q ChooseQuestion) (*ChooseAnswer, *Case) {
	t.Helper()
	a, _, err := boardJob(t, text).Choose(context.Background(), q, nil)
	if err != nil {
		t.Fatal(err)
	}
	written, err := job.Update([]byte(text), a.Job())
	if err != nil {
		t.Fatal(err)
	}
	c := boardJob(t, string(written))
	bands, _, err := c.Bands(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range bands.Bands {
		said := a.Bands[i]
		if math.Abs(b.CentreHz/said.Centre.At-1) > 1e-6 || math.Abs(b.BoostDB-said.Boost.At) > 1e-6 {
			t.Errorf("band %s: said %.9g Hz and %.9g dB, the written job has %.9g Hz and %.9g dB",
				b.Band, said.Centre.At, said.Boost.At, b.CentreHz, b.BoostDB)
		}
		if said.Q != nil && math.Abs(*b.Q/said.Q.At-1) > 1e-6 {
			t.Errorf("band %s: said Q %.9g, the written job has %.9g", b.Band, said.Q.At, *b.Q)
		}
	}
	picked, found := c.Pick(q.Drawer)
	if len(found) > 0 {
		t.Errorf("the parts chosen from this drawer: %v", found)
	}
	if got, want := picksIn(picked), picksIn(&a.Picked); !slices.Equal(got, want) {
		t.Errorf("the written job picks %v, the answer %v", got, want)
	}
	return a, c
}

func picksIn(a *PickAnswer) (list []string) {
	for _, l := range a.List {
		list = append(list, strings.Join([]string{l.Place, l.ID, string(l.Kind), strings.Join(l.Bands, " ")}, "|"))
	}
	return list
}

func TestChooseAnswersBack(t *testing.T) {
	for _, c := range []struct {
		name string
		text string
		q    ChooseQuestion
	}{
		{"six bands", demoText(t), ChooseQuestion{}},
		{"a temperature nobody wrote", strings.Replace(twoBands(t), `temperature = "35 °C"`, "", 1), ChooseQuestion{}},
		{"other figures, new resistors, a Q", twoBands(t),
			ChooseQuestion{Bands: []string{"400: centre 410Hz boost 9dB q 1.1"}, NewOhms: quantity.E96}},
		{"one capacitor, the worst band", twoBands(t), ChooseQuestion{OneCapacitor: true, Worst: true}},
		{"parts written out", twoBands(t) +
			"\n[[part]]\nname = \"400.coil\"\nvalue = \"400 mH\"\nset = { dcr = \"80 ohm\", core_loss = \"70k\" }\n" +
			"\n[[part]]\nname = \"160.capacitor\"\nmeasured = \"1.02u\"\nset = { esr = \"3 ohm\" }\n" +
			"\n[[part]]\nname = \"400.resistor\"\nvalue = \"465R\"\n", ChooseQuestion{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			c.q.Drawer = demoDrawer(t)
			a, _ := answersBack(t, c.text, c.q)
			if a.Bound > a.Error || !a.Settled {
				t.Errorf("error %g, bound %g, settled %v", a.Error, a.Bound, a.Settled)
			}
		})
	}
}

// Figures and pick list that bench has of the job as written are those of the
// board that was chosen.
func TestWrittenIsChosen(t *testing.T) {
	c, d := boardJob(t, twoBands(t)), demoDrawer(t)
	q := ChooseQuestion{Drawer: d}
	wishes, _, err := c.wishes(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	board, err := c.board(context.Background(), q, wishes, nil)
	if err != nil {
		t.Fatal(err)
	}
	chosen, err := stock.Choose(context.Background(), board)
	if err != nil {
		t.Fatal(err)
	}
	a, _, err := c.Choose(context.Background(), q, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i, b := range chosen.Bands { // what the search saw of the board that was then written
		if said := a.Bands[i]; math.Abs(b.Centre.At/said.Centre.At-1) > 2e-6 || math.Abs(b.Boost.At-said.Boost.At) > 1e-4 {
			t.Errorf("band %s: searched to %v and %v, written as %v and %v", b.Band, b.Centre, b.Boost, said.Centre, said.Boost)
		}
	}
	taken := map[string]int{}
	for _, p := range chosen.Picks {
		taken[p.Part] = p.Count
	}
	for _, l := range a.Picked.List {
		if taken[l.ID] != l.Count {
			t.Errorf("%s: %d to be taken, stock says %d", l.ID, l.Count, taken[l.ID])
		}
		delete(taken, l.ID)
	}
	if len(taken) > 0 {
		t.Errorf("not on the list: %v", taken)
	}
	count := func(parts []stock.Part) (n int) {
		for _, p := range parts {
			n += p.Count
		}
		return n
	}
	if got, want := count(a.Picked.Left), count(chosen.Left); got != want {
		t.Errorf("%d parts are left, stock says %d", got, want)
	}
}

// What a hand fixes and bars is kept to.
func TestChooseFixedAndBarred(t *testing.T) {
	q := ChooseQuestion{Drawer: demoDrawer(t), Fixed: []string{"160: bag 8", "160: film 14"}, Barred: []string{"film 2", "400:bag 3"}}
	a, _ := answersBack(t, twoBands(t), q)
	for _, l := range a.Picked.Legs {
		switch l.Band {
		case "160":
			if l.Coil != "bag 8" || !slices.Contains(l.Capacitors, "film 14") || slices.Contains(l.Capacitors, "film 2") {
				t.Errorf("160 has %+v", l)
			}
		case "400":
			if l.Coil == "bag 3" {
				t.Error("400 has the coil it may not have")
			}
		}
	}
}

// A band of quite another width is said, unless its Q was asked for.
func TestChooseNamesOtherWidths(t *testing.T) {
	c, d := boardJob(t, twoBands(t)), demoDrawer(t)
	q := ChooseQuestion{Drawer: d, Fixed: []string{"400: bag 4"}}
	a, found, err := c.Choose(context.Background(), q, nil)
	if err != nil {
		t.Fatal(err)
	}
	f, ok := has(found, IDChooseWidth)
	if !ok || f.Place.Band != "400" || f.Args["q"] != *a.Bands[1].Feature.Q {
		t.Errorf("found %v", found)
	}
	q.Bands = []string{"400: q 1"}
	if a, found, err = c.Choose(context.Background(), q, nil); err != nil {
		t.Fatal(err)
	}
	if _, ok := has(found, IDChooseWidth); ok || a.Bands[1].QFrom != "asked" {
		t.Errorf("Q %+v by %q, found %v", a.Bands[1].Q, a.Bands[1].QFrom, found)
	}
	if f, ok := has(found, stock.IDChooseUnmet); !ok || f.Args["figure"] != "Q" {
		t.Errorf("a Q that is not met: %v", found)
	}
}

// The same question gives the same chance; how many boards were solved is told
// as it goes.
func TestChooseDrawsAndTells(t *testing.T) {
	c, q := boardJob(t, twoBands(t)), ChooseQuestion{Drawer: demoDrawer(t), Draws: 100, Seed: 7}
	told := 0
	first, _, err := c.Choose(context.Background(), q, func(solved int) {
		if solved <= told {
			t.Fatalf("%d boards after %d", solved, told)
		}
		told = solved
	})
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := c.Choose(context.Background(), q, nil)
	if err != nil {
		t.Fatal(err)
	}
	if *first.Chance != *again.Chance || first.Chance.Draws != 100 || told < first.Solved {
		t.Errorf("chances %+v and %+v; told of %d boards, %d solved", first.Chance, again.Chance, told, first.Solved)
	}
	ctx, stop := context.WithCancel(context.Background())
	if _, _, err := c.Choose(ctx, q, func(int) { stop() }); err != context.Canceled {
		t.Errorf("stopped: %v", err)
	}
}

func TestChooseRefuses(t *testing.T) {
	c := boardJob(t, demoText(t))
	whole := demoDrawer(t)
	for _, k := range []struct {
		name string
		q    ChooseQuestion
		ids  []finding.ID
	}{
		{"all mistakes of hand at once", ChooseQuestion{Fixed: []string{"bag 1", "64: bag 1", "63: bag 2", "160: bag 2"}, Barred: []string{"bag 2"}},
			[]finding.ID{IDChooseFix, IDWantedNoBand, IDChooseBoth, IDChooseBoth, IDChooseFewer}},
		{"unknown ids", ChooseQuestion{Fixed: []string{"63: bag 99"}, Barred: []string{"film 99"}}, []finding.ID{stock.IDChooseUnknown, stock.IDChooseUnknown}},
		{"three capacitors", ChooseQuestion{Fixed: []string{"63: film 1", "63: film 9", "63: film 14"}}, []finding.ID{stock.IDChooseMany}},
		{"limits below nought", ChooseQuestion{Limits: stock.Limits{Centre: -0.01, Boost: math.NaN(), Q: -1}, Draws: -1},
			[]finding.ID{IDChooseLimit, IDChooseLimit, IDChooseLimit, IDChooseLimit}},
		{"a wish that cannot be read", ChooseQuestion{Bands: []string{"64: boost 3dB"}}, []finding.ID{IDWantedNoBand}},
		{"no coil of a size", ChooseQuestion{Barred: []string{"400: bag 3", "400: bag 7"}}, []finding.ID{stock.IDChooseShort}},
		{"an empty drawer", ChooseQuestion{Drawer: demoDrawer(t, "x,resistor,470R,1 %,,,,,,,,,,9,C,")}, []finding.ID{stock.IDChooseShort}},
	} {
		if k.q.Drawer == nil {
			k.q.Drawer = whole
		}
		_, _, err := c.Choose(context.Background(), k.q, nil)
		found, ok := finding.From(err)
		if !ok {
			t.Errorf("%s: %v", k.name, err)
			continue
		}
		var got []finding.ID
		for _, f := range found {
			got = append(got, f.ID)
		}
		if !slices.Equal(got, k.ids) {
			t.Errorf("%s: %v, want %v", k.name, got, k.ids)
		}
	}
}

// A job's ids are looked up in a drawer; what is not there, or too few, is
// said.
func TestPick(t *testing.T) {
	text := strings.Replace(demoText(t), `id = "film 2"`, `id = "film 2 + film 14"`, 1)
	text = strings.Replace(text, `id = "film 3"`, `id = "film 3 in series with film 14"`, 1)
	text = strings.Replace(text, `id = "bag 6"`, `id = "bag 66"`, 1)
	a, found := boardJob(t, text).Pick(demoDrawer(t))
	if l := a.Legs[1]; !slices.Equal(l.Capacitors, []string{"film 2", "film 14"}) || l.InSeries {
		t.Errorf("160 has %+v", l)
	}
	if l := a.Legs[2]; !slices.Equal(l.Capacitors, []string{"film 3", "film 14"}) || !l.InSeries {
		t.Errorf("400 has %+v", l)
	}
	if len(found) != 2 || found[0].ID != IDPickUnknown || found[0].Place.Band != "6300" || found[1].ID != IDPickShort || found[1].Args["have"] != 1 {
		t.Errorf("found %v", found)
	}
	var outside []string
	for _, l := range a.List[len(a.List)-7:] {
		outside = append(outside, l.ID)
	}
	if slices.Index(outside, "bag 66") < 0 || a.List[0].Place != "A1" {
		t.Errorf("the list ends with %q and begins with %+v", outside, a.List[0])
	}
}
