package equaliser

import (
	"context"
	"math"
	"math/cmplx"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// Findings of headroom.
const (
	// IDLittleHeadroom: Warning. Place.Band, Place.Part; at ("flat" or "boost"),
	// hz, volts (largest undistorted input, rms), level (stated, rms), db (between
	// them), how ("saturation", "cut-off" or "rail"). "{at} at {hz} the largest
	// undistorted input is {volts}, only {db} above the stated level; {part} clips
	// first ({how})." Hint: "Keep 6 dB: tap in at a lower level, raise the rail or the standing current."
	IDLittleHeadroom finding.ID = "equaliser.little-headroom"
	// IDNoLevel: Note. "No level is stated at the tap-in, so headroom cannot be
	// judged." Hint: "State the strongest signal expected there."
	IDNoLevel finding.ID = "equaliser.no-level"
	// IDOffAtRest: Warning. Place.Part; how ("saturation", "cut-off" or "rail").
	// "{part} is at its limit ({how}) with no signal at all." Hint: "Look at its bias."
	IDOffAtRest finding.ID = "equaliser.off-at-rest"
)

// Headroom is the largest undistorted input at one band's centre, volts rms at
// the tap-in with the amp's own load on it, flat and at this band's full boost.
// Nil: nothing limits it, or (dB) no level was stated.
type Headroom struct {
	Band      string   `json:"band"`
	Hz        float64  `json:"hz"` // the centre of the boost; the stated centre when there is none
	FlatVolts *float64 `json:"flat_volts_rms"`
	UpVolts   *float64 `json:"boost_volts_rms"`
	FlatDB    *float64 `json:"flat_headroom_db"`
	UpDB      *float64 `json:"boost_headroom_db"`
	FlatBy    Limit    `json:"flat_limited_by"`
	UpBy      Limit    `json:"boost_limited_by"`
}

// Limit is what clips first.
type Limit struct {
	Part string `json:"part,omitempty"`
	How  string `json:"how,omitempty"` // "saturation", "cut-off" or "rail"
}

const (
	// saturationVolts is what a transistor keeps from collector to emitter when
	// it can turn on no further (common practice, no source).
	saturationVolts = 0.2
	// railMargin is what an op-amp's output cannot reach of each rail, in volts
	// (common practice, no source).
	railMargin = 2.0
	// wantedDB is the headroom people keep (common practice, no source).
	wantedDB = 6.0
)

// Headroom gives the largest undistorted input of every feature's band. The
// circuit is made linear about its operating point and each stage is asked how
// large its swing is per volt of source at that frequency: a transistor is at
// its limit when its collector has only saturationVolts left to its emitter, or
// when its collector current falls to nothing; an op-amp when its output is
// railMargin from a rail. The first limit met counts.
//
// Its limits: the swing is taken as a clean sine until it clips, so what the
// stage distorts before, and a bias that moves with a strong signal, are not in
// it; an op-amp's greatest output current is not known to the circuit. With the
// loop gain of the starter drawings the large-signal operating point agrees
// within a tenth.
func (e *Equaliser) Headroom(ctx context.Context, states States, features []Feature) ([]Headroom, finding.List, error) {
	if states == nil {
		states = e.Solve
	}
	var found finding.List
	if e.spec.LevelVolts == 0 {
		found = append(found, finding.New(IDNoLevel, finding.Note, finding.Place{}, nil))
	}
	flat, err := states(ctx, e.Flat())
	if err != nil {
		return nil, found, err
	}
	found = append(found, e.offAtRest(flat)...)
	var all []Headroom
	for _, f := range features {
		h := Headroom{Band: f.Band, Hz: f.StatedHz}
		if f.Found {
			h.Hz = f.CentreHz
		}
		up, err := states(ctx, e.Boost(f.Band))
		if err != nil {
			return all, found, err
		}
		if h.FlatVolts, h.FlatBy, _, err = e.largest(ctx, flat, h.Hz); err != nil {
			return all, found, err
		}
		if h.UpVolts, h.UpBy, _, err = e.largest(ctx, up, h.Hz); err != nil {
			return all, found, err
		}
		h.FlatDB, h.UpDB = e.over(h.FlatVolts), e.over(h.UpVolts)
		found = append(found, e.little(h, "flat", h.FlatVolts, h.FlatDB, h.FlatBy)...)
		found = append(found, e.little(h, "boost", h.UpVolts, h.UpDB, h.UpBy)...)
		all = append(all, h)
	}
	return all, found, nil
}

// over gives an input against the stated level in dB; an input of 0 has none.
func (e *Equaliser) over(volts *float64) *float64 {
	if volts == nil || *volts == 0 || e.spec.LevelVolts == 0 {
		return nil
	}
	db := 20 * math.Log10(*volts/e.spec.LevelVolts)
	return &db
}

func (e *Equaliser) little(h Headroom, at string, volts, db *float64, by Limit) finding.List {
	if db == nil || *db >= wantedDB {
		return nil
	}
	return finding.List{finding.New(IDLittleHeadroom, finding.Warning,
		finding.Place{Band: h.Band, Part: by.Part}, finding.Args{"at": at, "hz": h.Hz,
			"volts": *volts, "level": e.spec.LevelVolts, "db": *db, "how": by.How})}
}

// room is how far a quantity of a stage can swing to one side, peak, and the
// points whose signal volts make up that swing.
type room struct {
	limit  Limit
	peak   float64
	points []string
	weight []float64 // swing = |Σ weight·volts|
}

// rooms lists every stage's limits at its operating point.
func (e *Equaliser) rooms(st *circuit.State) []room {
	var list []room
	for _, p := range st.Circuit().Parts() {
		switch p := p.(type) {
		case circuit.Transistor:
			list = append(list, transistorRooms(st, p)...)
		case circuit.OpAmp:
			list = append(list, e.opAmpRooms(st, p)...)
		}
	}
	return list
}

// transistorRooms: the collector's way to saturation, and its current's way to
// nothing. The signal current in the forward region, from the transport form
// with Early effect, is g·v_BE − h·v_BC with g = I/(N·kT/q) and h = I/(VA − V_BC).
func transistorRooms(st *circuit.State, q circuit.Transistor) []room {
	collector, ok := st.Volts(q.Collector)
	base, ok2 := st.Volts(q.Base)
	emitter, ok3 := st.Volts(q.Emitter)
	current, ok4 := st.Current(q.Name)
	if !ok || !ok2 || !ok3 || !ok4 {
		return nil
	}
	sign := 1.0
	if q.PNP {
		sign = -1
	}
	n := q.N
	if n == 0 {
		n = 1
	}
	amperes := sign * current
	g, h := amperes/(n*thermalVolts(st.Kelvin())), 0.0
	if q.EarlyVolts > 0 {
		h = amperes / (q.EarlyVolts - sign*(base-collector))
	}
	return []room{
		{Limit{q.Name, "saturation"}, max(sign*(collector-emitter)-saturationVolts, 0),
			[]string{q.Collector, q.Emitter}, []float64{1, -1}},
		{Limit{q.Name, "cut-off"}, max(amperes, 0),
			[]string{q.Base, q.Emitter, q.Collector}, []float64{g - h, -g, h}},
	}
}

// thermalVolts is kT/q, both constants exact in the SI of 2019.
func thermalVolts(kelvin float64) float64 { return 1.380649e-23 * kelvin / 1.602176634e-19 }

// opAmpRooms: the output's way to the nearer rail. An ideal amplifier has none.
func (e *Equaliser) opAmpRooms(st *circuit.State, o circuit.OpAmp) []room {
	out, ok := st.Volts(o.Out)
	if o.Ideal || !ok || e.spec.Rail == 0 {
		return nil
	}
	high, low := e.rail(), -e.rail()
	if e.spec.Drawing == DrawingTwoTransistor {
		low = 0
	}
	way := min(high-railMargin-out, out-low-railMargin)
	return []room{{Limit{o.Name, "rail"}, max(way, 0), []string{o.Out}, []float64{1}}}
}

// rail is the volts of the part "rail" where the drawing has one, else as
// described.
func (e *Equaliser) rail() float64 {
	if v, ok := e.part("rail").(circuit.VoltageSource); ok {
		return v.DC
	}
	return e.spec.Rail
}

// Largest gives the largest input that a setting passes undistorted at every
// one of some frequencies, as Headroom does, with what clips first and at which
// of them; nil when nothing limits it.
func (e *Equaliser) Largest(ctx context.Context, states States, s curve.Setting, hz ...float64) (volts *float64, by Limit, at float64, err error) {
	if states == nil {
		states = e.Solve
	}
	st, err := states(ctx, s)
	if err != nil {
		return nil, Limit{}, 0, err
	}
	return e.largest(ctx, st, hz...)
}

// largest gives the largest undistorted input, rms at the tap-in with the amp's
// own load, and the frequency where it is met; nil when nothing limits it.
func (e *Equaliser) largest(ctx context.Context, st *circuit.State, hz ...float64) (*float64, Limit, float64, error) {
	list := e.rooms(st)
	var outs []string
	for _, r := range list {
		outs = append(outs, r.points...)
	}
	if len(outs) == 0 {
		return nil, Limit{}, 0, nil
	}
	answer, err := st.Response(ctx, Source, outs, hz)
	if err != nil {
		return nil, Limit{}, 0, err
	}
	volts, by, at, k := math.Inf(1), Limit{}, 0.0, 0
	for _, r := range list {
		for i, f := range hz {
			var swing complex128
			for j, w := range r.weight {
				swing += complex(w, 0) * answer.Gains[k+j][i]
			}
			if source := r.peak / cmplx.Abs(swing) / math.Sqrt2; source < volts {
				volts, by, at = source, r.limit, f
			}
		}
		k += len(r.weight)
	}
	if math.IsInf(volts, 1) || math.IsNaN(volts) { // no signal comes there
		return nil, Limit{}, 0, nil
	}
	volts *= e.tapShare()
	return &volts, by, at, nil
}

// tapShare is the share of the source's volts that stands at the tap-in with
// the amp's own load and no equaliser: how the stated level was taken.
func (e *Equaliser) tapShare() float64 {
	if e.spec.LoadOhms == 0 {
		return 1
	}
	return e.spec.LoadOhms / (e.spec.LoadOhms + e.spec.SourceOhms)
}

// offAtRest names stages that have no room even without a signal.
func (e *Equaliser) offAtRest(st *circuit.State) finding.List {
	const least = 1e-9 // amperes or volts
	var found finding.List
	for _, r := range e.rooms(st) {
		if r.peak < least {
			found = append(found, finding.New(IDOffAtRest, finding.Warning,
				finding.Place{Part: r.limit.Part}, finding.Args{"how": r.limit.How}))
		}
	}
	return found
}
