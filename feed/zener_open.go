package feed

import (
	"cmp"
	"context"
	"slices"

	"bandwright/circuit"
)

// Failure is a part that carries more than it is rated for.
type Failure struct {
	Part    string   `json:"part"`
	Case    CaseName `json:"case"`
	What    string   `json:"what"` // "volts", "amperes", "watts"
	Carries float64  `json:"carries"`
	Rated   float64  `json:"rated"`
	Share   float64  `json:"share"` // of what it is rated for
	Needs   float64  `json:"needs"` // rating that would stay within the limits
}

// ZenerFailure is what happens when the zener opens.
type ZenerFailure struct {
	Volts    float64   `json:"volts"`        // where the zener stood, the worst of both cases
	Fails    []Failure `json:"fails"`        // the first to go first
	Unrated  []string  `json:"unrated"`      // parts that nothing is known of and that stand above their usual volts
	Second   []Failure `json:"second"`       // what still fails with a second zener across the first
	SecondOK bool      `json:"second_holds"` // nothing does
}

// WhenZenerOpens solves the zener open, with the board plugged in and out, and
// lists what carries more than it is rated for. Capacitors go first, since an
// electrolytic vents where a resistor only browns (common practice, no source);
// then by how far each is over. A second zener of the same kind is tried
// on the circuit.
func WhenZenerOpens(ctx context.Context, whole *circuit.Circuit, s Supply, ratings []Rating, limits Limits, cond circuit.Conditions) (*ZenerFailure, error) {
	p, there := whole.Part(s.Zener)
	zener, is := p.(circuit.Zener)
	if !there || !is {
		panic("feed: no zener to open")
	}
	f := &ZenerFailure{}
	var err error
	if f.Fails, f.Unrated, f.Volts, err = s.opened(ctx, whole, zener, ratings, limits, cond); err != nil {
		return nil, err
	}
	second := zener
	for second.Name += ".second"; ; second.Name += "'" {
		if _, taken := whole.Part(second.Name); !taken {
			break
		}
	}
	twice, err := circuit.New(append(slices.Clone(whole.Parts()), circuit.Part(second))...)
	if err != nil {
		return nil, err
	}
	for _, r := range ratings {
		if r.Part == zener.Name {
			r.Part = second.Name
			ratings = append(slices.Clone(ratings), r)
		}
	}
	if f.Second, _, _, err = s.opened(ctx, twice, zener, ratings, limits, cond); err != nil {
		return nil, err
	}
	f.SecondOK = len(f.Second) == 0
	return f, nil
}

// opened gives what fails with a zener open.
func (s Supply) opened(ctx context.Context, whole *circuit.Circuit, zener circuit.Zener, ratings []Rating, limits Limits, cond circuit.Conditions) (fails []Failure, unrated []string, volts float64, err error) {
	rated := map[string]Rating{}
	for _, r := range ratings {
		rated[r.Part] = r
	}
	open := []circuit.Edit{circuit.Open(zener.Name)}
	cases := []Case{{Name: ZenerOpen, Rail: s.Highest(), Edits: open}}
	if len(s.Board) > 0 {
		cases = append(cases, Case{Name: ZenerOpenUnplugged, Rail: s.Highest(), Edits: append(s.unplugged(), open...)})
	}
	limits = limits.Filled()
	for _, c := range s.everywhere(cases) {
		st, err := c.solve(ctx, whole, s.Rail, cond)
		if err != nil {
			return nil, nil, 0, err
		}
		stands, _ := st.Volts(zener.Cathode)
		against, _ := st.Volts(zener.Anode)
		volts = max(volts, stands-against, against-stands)
		for _, p := range whole.Parts() {
			l, ok := loadOf(st, p.PartName())
			if !ok || p.PartName() == zener.Name {
				continue
			}
			r := rated[l.Part]
			if _, is := p.(circuit.Capacitor); is && r.Volts == 0 && l.Volts > zener.Volts && !slices.Contains(unrated, l.Part) {
				unrated = append(unrated, l.Part)
			}
			fails = worse(fails, c.Name, l, r, limits)
		}
	}
	slices.SortStableFunc(fails, func(a, b Failure) int {
		return cmp.Or(rank(whole, a)-rank(whole, b), cmp.Compare(b.Share, a.Share))
	})
	return fails, unrated, volts, nil
}

// worse keeps the worst failure of each part and figure.
func worse(list []Failure, name CaseName, l Load, r Rating, limits Limits) []Failure {
	for _, f := range [...]Failure{
		{What: "volts", Carries: l.Volts, Rated: r.Volts, Needs: l.Volts / limits.Volts},
		{What: "amperes", Carries: l.Amperes, Rated: r.Amperes, Needs: l.Amperes / limits.Amperes},
		{What: "watts", Carries: l.Watts, Rated: r.Watts, Needs: l.Watts / limits.Watts},
	} {
		if f.Rated == 0 || f.Carries <= f.Rated {
			continue
		}
		f.Part, f.Case, f.Share = l.Part, name, f.Carries/f.Rated
		i := slices.IndexFunc(list, func(k Failure) bool { return k.Part == f.Part && k.What == f.What })
		switch {
		case i < 0:
			list = append(list, f)
		case f.Share > list[i].Share:
			list[i] = f
		}
	}
	return list
}

func rank(whole *circuit.Circuit, f Failure) int {
	p, _ := whole.Part(f.Part)
	if _, is := p.(circuit.Capacitor); is {
		return 0
	}
	return 1
}
