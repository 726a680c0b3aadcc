package feed

import (
	"bandwright/circuit"
	"bandwright/curve"
)

// Supply is the rail that feeds the board, with the parts in its way.
type Supply struct {
	Rail  string  // the voltage source
	Volts float64 // loaded, at nominal mains
	Cold  float64 // before the valves draw, at nominal mains; 0: 1.3 times Volts (20–40 %, from memory)
	// Low and High are how far the mains may fall and rise, as shares; 0: 0.1
	// (IEC 60038: 230 V ± 10 %, as quoted by a second text).
	Low, High float64
	Dropper   []string // resistors in series, nothing drawn between them
	Zener     string   // "": none
	// Board lists what is gone when the board is unplugged: every part that the
	// zener's point feeds. Empty: that case is left out.
	Board []string
	Hertz float64 // mains; 0: 50
	// Settings are those in which the board draws differently, as when a switch
	// calls a relay in: every case is taken at each. nil: all at rest.
	Settings []curve.Setting
}

func (s Supply) cold() float64 {
	if s.Cold == 0 {
		return 1.3 * s.Volts
	}
	return s.Cold
}

// mains gives the lowest and highest of the mains, over the nominal.
func (s Supply) mains() (low, high float64) {
	low, high = s.Low, s.High
	if low == 0 {
		low = 0.1
	}
	if high == 0 {
		high = 0.1
	}
	return 1 - low, 1 + high
}

// Highest is the most that the rail ever stands at: unloaded, at high mains.
func (s Supply) Highest() float64 {
	_, high := s.mains()
	return s.cold() * high
}

// CaseName names a case.
type CaseName string

// The cases. All but Nominal and MainsLow are taken at high mains, where they
// are worst.
const (
	Nominal   CaseName = "nominal"
	MainsHigh CaseName = "mains high"
	MainsLow  CaseName = "mains low"
	ColdStart CaseName = "cold start" // rail unloaded, mains high
	Unplugged CaseName = "board unplugged"
	ZenerOpen CaseName = "zener open"
	ZenerGone CaseName = "zener short"
	// ZenerOpenUnplugged is no case of the list: WhenZenerOpens looks at it.
	ZenerOpenUnplugged CaseName = "zener open, board unplugged"
)

// Case is one case at one setting.
type Case struct {
	Name    CaseName
	Rail    float64 // volts
	Edits   []circuit.Edit
	Setting curve.Setting
}

// Cases lists the cases of a supply, each at every setting.
func (s Supply) Cases() []Case { return s.everywhere(s.atRest()) }

// everywhere takes cases at every setting, those of one name in a row.
func (s Supply) everywhere(cases []Case) []Case {
	if len(s.Settings) == 0 {
		return cases
	}
	var list []Case
	for _, c := range cases {
		for _, c.Setting = range s.Settings {
			list = append(list, c)
		}
	}
	return list
}

func (s Supply) atRest() []Case {
	low, high := s.mains()
	most := s.Highest()
	list := []Case{
		{Name: Nominal, Rail: s.Volts},
		{Name: MainsHigh, Rail: s.Volts * high},
		{Name: MainsLow, Rail: s.Volts * low},
		{Name: ColdStart, Rail: most},
	}
	if len(s.Board) > 0 {
		list = append(list, Case{Name: Unplugged, Rail: most, Edits: s.unplugged()})
	}
	if s.Zener != "" {
		list = append(list,
			Case{Name: ZenerOpen, Rail: most, Edits: []circuit.Edit{circuit.Open(s.Zener)}},
			Case{Name: ZenerGone, Rail: most, Edits: []circuit.Edit{circuit.Short(s.Zener, 0, 1, circuit.ShortOhms)}})
	}
	return list
}

// unplugged takes the first leg of every part off that feeds the board.
func (s Supply) unplugged() []circuit.Edit {
	var gone []circuit.Edit
	for _, part := range s.Board {
		gone = append(gone, circuit.OpenLeg(part, 0))
	}
	return gone
}

// In gives the circuit of a case.
func (c Case) In(whole *circuit.Circuit, rail string) (*circuit.Circuit, error) {
	return whole.Edited(append([]circuit.Edit{circuit.Set(rail, "DC", c.Rail)}, c.Edits...)...)
}
