package feed

import (
	"bandwright/circuit"
)

// Supply is the rail that feeds the board, with the parts in its way.
type Supply struct {
	Rail    string  // the voltage source
	Volts   float64 // loaded, at nominal mains
	Cold    float64 // before the valves draw, at nominal mains; 0: 1.3 times Volts (20–40 %, from memory)
	Mains   float64 // either way, a share; 0: 0.1 (IEC 60038, as quoted by a second text)
	Dropper []string
	Zener   string // "": none
	// Board lists what is gone when the board is unplugged: every part that the
	// zener's point feeds. Empty: that case is left out.
	Board []string
	Hertz float64 // mains; 0: 50
}

func (s Supply) cold() float64 {
	if s.Cold == 0 {
		return 1.3 * s.Volts
	}
	return s.Cold
}

func (s Supply) mains() float64 {
	if s.Mains == 0 {
		return 0.1
	}
	return s.Mains
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
)

// Case is one case.
type Case struct {
	Name  CaseName
	Rail  float64 // volts
	Edits []circuit.Edit
}

// Cases lists the cases of a supply.
func (s Supply) Cases() []Case {
	high := s.Volts * (1 + s.mains())
	list := []Case{
		{Name: Nominal, Rail: s.Volts},
		{Name: MainsHigh, Rail: high},
		{Name: MainsLow, Rail: s.Volts * (1 - s.mains())},
		{Name: ColdStart, Rail: s.cold() * (1 + s.mains())},
	}
	if len(s.Board) > 0 {
		var gone []circuit.Edit
		for _, part := range s.Board {
			gone = append(gone, circuit.OpenLeg(part, 0))
		}
		list = append(list, Case{Unplugged, s.cold() * (1 + s.mains()), gone})
	}
	if s.Zener != "" {
		list = append(list,
			Case{ZenerOpen, s.cold() * (1 + s.mains()), []circuit.Edit{circuit.Open(s.Zener)}},
			Case{ZenerGone, high, []circuit.Edit{circuit.Short(s.Zener, 0, 1, circuit.ShortOhms)}})
	}
	return list
}

// in gives the circuit of a case.
func (c Case) in(whole *circuit.Circuit, rail string) (*circuit.Circuit, error) {
	return whole.Edited(append([]circuit.Edit{circuit.Set(rail, "DC", c.Rail)}, c.Edits...)...)
}
