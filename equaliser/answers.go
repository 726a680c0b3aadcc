package equaliser

// Feature is what one band does, its neighbours centred unless Others says
// otherwise. Frequencies in hertz, gains in decibels. A pointer that is nil
// means "none": the edge lies outside 1 Hz–200 kHz.
type Feature struct {
	Band      string   `json:"band"`
	StatedHz  float64  `json:"stated_hz"`
	LegHz     float64  `json:"leg_resonance_hz"` // 1/(2π√(LC)), the leg alone
	LegQ      float64  `json:"leg_q"`            // (1/R)√(L/C), R the whole series resistance of the leg
	CentreHz  float64  `json:"centre_hz"`        // of the boost
	CutHz     float64  `json:"cut_centre_hz"`
	BoostDB   float64  `json:"boost_db"`
	CutDB     float64  `json:"cut_db"`
	LowHz     *float64 `json:"low_edge_hz"` // half the boost in dB
	HighHz    *float64 `json:"high_edge_hz"`
	WidthHz   *float64 `json:"width_hz"`
	Q         *float64 `json:"q"`              // centre / width
	QTop      *float64 `json:"q_3db_from_top"` // centre / (width between −3 dB from the top)
	TotalDB   float64  `json:"total_gain_db"`  // source to output at the centre, this slider at full boost
	ShareDB   float64  `json:"slider_share_db"`
	CutLowHz  *float64 `json:"cut_low_edge_hz"`
	CutHighHz *float64 `json:"cut_high_edge_hz"`
}
