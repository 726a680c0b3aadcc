package circuit

import (
	"slices"

	"bandwright/finding"
)

// IDFloating: the volts of a point are asked that no direct current can reach.
// Place: the point, the setting. Hint: there is no reading here.
const IDFloating finding.ID = "circuit.floating"

// VoltsSensitivity gives the derivative of a point's direct volts by every
// value of every part, the DC of sources and the Position of sliders among
// them, from one adjoint of the direct-current equations (Director and Rohrer
// 1969): with F(v, p) = 0, Jacobian J and Jᵀ·μ = e, dv/dp = −μᵀ·∂F/∂p. By is
// real, volts per unit of the value. Ground depends on nothing. A point that
// floats is an IDFloating, one that is not there an IDNoPoint.
func (st *State) VoltsSensitivity(point string) ([]Derivative, error) {
	e, err := st.outTerms(point)
	if err != nil {
		return nil, err
	}
	if _, ok := st.Volts(point); !ok {
		return nil, finding.List{finding.New(IDFloating, finding.Error,
			finding.Place{Point: point, Setting: st.Setting().String()}, nil)}
	}
	return st.steadySensitivity(e), nil
}

// steadySensitivity gives the derivatives of a sum of direct-current unknowns.
func (st *State) steadySensitivity(e []term) []Derivative {
	mu := make([]float64, st.net.size)
	for _, t := range e {
		mu[t.row] += t.g
	}
	st.steadyJacobian().SolveTransposed(mu, mu)
	slopes := st.valueSlopes()
	list := make([]Derivative, len(slopes))
	for n, v := range slopes {
		by := 0.0
		for _, t := range v.force {
			by -= t.g * mu[t.row]
		}
		list[n] = Derivative{Part: v.part, Value: v.value, By: complex(by, 0)}
	}
	return list
}

// Value gives a part's value by the name of its field, as knobs and derivatives
// name it. A slider's Position is a setting's; it is a value of 0 here. The
// error is an IDNoPart or IDNoKnob.
func (c *Circuit) Value(k Knob) (float64, error) {
	at := finding.Place{Part: k.Part}
	p, ok := c.Part(k.Part)
	if !ok {
		return 0, finding.List{finding.New(IDNoPart, finding.Error, at, nil)}
	}
	if _, slider := p.(Slider); slider && k.Value == "Position" {
		return 0, nil
	}
	if field := fieldOf(turnable(p), k.Value); field != nil && slices.Contains(asked(p), k.Value) {
		return *field, nil
	}
	return 0, finding.List{finding.New(IDNoKnob, finding.Error, at, finding.Args{"value": k.Value})}
}
