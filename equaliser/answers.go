package equaliser

// Feature is what one band does, its neighbours where the question put them:
// centred unless others were given. Frequencies in hertz, gains in decibels. A
// pointer that is nil means "none": the edge lies outside 1 Hz–200 kHz, or the
// peak is not high enough to have it.
//
// A band without an extremum within a factor 2 of its leg resonance has Found
// false, zeros and nils in place of the figures of that side, and a finding.
type Feature struct {
	Band      string   `json:"band"`
	StatedHz  float64  `json:"stated_hz"`
	LegHz     float64  `json:"leg_resonance_hz"` // 1/(2π√(LC)), the leg alone; 0: it has no coil or no capacitor
	LegQ      float64  `json:"leg_q"`            // (1/R)√(L/C), R the whole series resistance of the leg; 0: not known
	Found     bool     `json:"found"`            // the boost has an extremum
	CutFound  bool     `json:"cut_found"`        // the cut has one
	CentreHz  float64  `json:"centre_hz"`        // of the boost
	CutHz     float64  `json:"cut_centre_hz"`
	BoostDB   float64  `json:"boost_db"`
	CutDB     float64  `json:"cut_db"`
	LowHz     *float64 `json:"low_edge_hz"` // half the boost in dB
	HighHz    *float64 `json:"high_edge_hz"`
	WidthHz   *float64 `json:"width_hz"`
	Q         *float64 `json:"q"`               // centre / width
	QTop      *float64 `json:"q_3db_from_top"`  // centre / (width between −3 dB from the top)
	TotalDB   float64  `json:"total_gain_db"`   // source to output at the centre, this slider at full boost
	ShareDB   float64  `json:"slider_share_db"` // what this slider adds to that, the others where they are
	CutLowHz  *float64 `json:"cut_low_edge_hz"`
	CutHighHz *float64 `json:"cut_high_edge_hz"`
	Asked     int      `json:"-"` // frequencies the engine was asked for
}
