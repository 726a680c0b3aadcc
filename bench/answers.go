package bench

import (
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/reading"
)

// Every answer is plain data: it goes to JSON as it is (shortest numbers that
// read back the same, null for "none" and for −∞), and report lays it out.
// Frequencies are hertz, gains decibels, phases degrees, volts and ohms in
// their base units.

// BandsAnswer is the band table and what belongs to it.
type BandsAnswer struct {
	Setting  string              `json:"setting"` // where the others stand; "flat" is centred
	Bands    []equaliser.Feature `json:"bands"`
	Flat     GainRange           `json:"flat"`     // source to output, all centred, 20 Hz–20 kHz
	AllUp    GainRange           `json:"all_up"`   // against flat
	AllDown  GainRange           `json:"all_down"` // against flat
	Scale    []BandScale         `json:"scale"`
	Headroom []BandHeadroom      `json:"headroom"`
	Stable   bool                `json:"stable"`
}

// GainRange is the lowest and highest of a gain over the audio range.
type GainRange struct {
	LowDB  float64 `json:"low_db"`
	LowHz  float64 `json:"low_hz"`
	HighDB float64 `json:"high_db"`
	HighHz float64 `json:"high_hz"`
}

// BandScale is what travel does to one band at its own centre.
type BandScale struct {
	Band   string       `json:"band"`
	AtHz   float64      `json:"at_hz"`
	Travel []ScalePoint `json:"travel"` // every 5 % of travel, from the cut end
	Marks  []ScalePoint `json:"marks"`  // where ±2, ±4 … dB lie
}

// ScalePoint is one place of the travel, −1 … +1, with what it gives.
type ScalePoint struct {
	Position float64 `json:"position"`
	DB       float64 `json:"db"`
}

// BandHeadroom is the largest undistorted input at one band's centre, volts
// rms, and how far the stated level stays below it. Nil: no stage limits it,
// or no level was stated.
type BandHeadroom struct {
	Band      string   `json:"band"`
	AtHz      float64  `json:"at_hz"`
	FlatVolts *float64 `json:"flat_volts_rms"`
	UpVolts   *float64 `json:"boost_volts_rms"`
	FlatDB    *float64 `json:"flat_headroom_db"`
	UpDB      *float64 `json:"boost_headroom_db"`
	LimitedBy string   `json:"limited_by,omitempty"` // the part that clips first at full boost
}

// PredictAnswer is the response at one setting.
type PredictAnswer struct {
	Setting  string      `json:"setting"`
	Source   string      `json:"source"`
	Out      string      `json:"out"`
	Rows     []GainPoint `json:"rows"`
	Residual *float64    `json:"residual"` // componentwise backward error, largest; null: not looked for
}

// GainPoint is a gain at one frequency; DB is nil when the gain is exactly 0.
// Shown has the ranges that the parts leave it, with no instrument's error; nil
// too where the job says of no part how far it may be off.
type GainPoint struct {
	Hz      float64  `json:"hz"`
	DB      *float64 `json:"db"`
	Degrees float64  `json:"degrees"`
	Shown   *Shown   `json:"shown"`
}

// VoltsAnswer is the predicted direct voltage of every point.
type VoltsAnswer struct {
	Setting string        `json:"setting"`
	Celsius float64       `json:"celsius"`
	Meter   reading.Meter `json:"meter"` // that Shown is read with
	Points  []PointVolts  `json:"points"`
}

// PointVolts is one point against ground. Volts is what stands there with
// nothing connected, nil where it floats. Shown is what the meter shows, which
// loads the point: a floating one it drains.
type PointVolts struct {
	Point string   `json:"point"`
	Volts *float64 `json:"volts"`
	Shown *Shown   `json:"shown"`
}

// NoiseAnswer is the output noise at one setting.
type NoiseAnswer struct {
	Setting    string       `json:"setting"`
	Volts      float64      `json:"volts_rms"`            // 20 Hz–20 kHz
	Weighted   float64      `json:"volts_rms_a_weighted"` // IEC 61672-1 A
	DBu        *float64     `json:"dbu"`                  // nil: no noise at all
	DBuA       *float64     `json:"dbu_a"`
	BelowDB    *float64     `json:"below_level_db"` // under the stated level, unweighted; nil: none stated
	Density    []NoisePoint `json:"density"`
	Share      []NoiseShare `json:"share"` // largest first
	SourceOhms float64      `json:"source_ohms"`
}

// NoisePoint is the noise density at one frequency, volts per root hertz.
type NoisePoint struct {
	Hz      float64 `json:"hz"`
	Density float64 `json:"volts_per_root_hz"`
}

// NoiseShare is one part's share of the unweighted noise power.
type NoiseShare struct {
	Part  string  `json:"part"`
	Share float64 `json:"share"`
}

// CompareAnswer sets measured curves beside what the circuit predicts.
type CompareAnswer struct {
	Limits Limits        `json:"limits"`
	Units  []UnitCompare `json:"units"`
	Worst  finding.Level `json:"worst"`
}

// Limits are what a difference is judged by. Common practice, no source.
type Limits struct {
	CentrePercent float64 `json:"centre_percent"`
	DB            float64 `json:"db"`
}

// UnitCompare is one unit's curves, band by band and curve by curve.
type UnitCompare struct {
	Unit   string         `json:"unit"`
	Role   string         `json:"role"`
	Less   string         `json:"less,omitempty"` // the setting whose take was taken off every curve
	Bands  []BandCompare  `json:"bands"`
	Curves []CurveCompare `json:"curves"`
}

// BandCompare is one band of one unit beside the prediction. Measured values
// carry one standard error. Nil: not measured.
type BandCompare struct {
	Band         string   `json:"band"`
	StatedHz     float64  `json:"stated_hz"`
	PredictedHz  float64  `json:"predicted_hz"`
	MeasuredHz   *float64 `json:"measured_hz"`
	ErrorHz      *float64 `json:"measured_hz_error"`
	CentreOff    *float64 `json:"centre_off_percent"` // measured against predicted
	StatedOff    *float64 `json:"stated_off_percent"` // measured against stated
	PredictedDB  float64  `json:"predicted_boost_db"`
	MeasuredDB   *float64 `json:"measured_boost_db"`
	ErrorDB      *float64 `json:"measured_boost_db_error"`
	BoostOff     *float64 `json:"boost_off_db"`
	PredictedCut float64  `json:"predicted_cut_db"`
	MeasuredCut  *float64 `json:"measured_cut_db"`
	CutOff       *float64 `json:"cut_off_db"`
	PredictedQ   *float64 `json:"predicted_q"`
	MeasuredQ    *float64 `json:"measured_q"`
	QOff         *float64 `json:"q_off_percent"`
	Off          bool     `json:"off"` // beyond the limits
}

// CurveCompare is one measured curve laid over its prediction. The level
// between them is taken out and given; the difference is what is left.
type CurveCompare struct {
	Name       string           `json:"name"`
	Setting    string           `json:"setting"`
	File       string           `json:"file"`
	SHA256     string           `json:"sha256"`
	Invented   bool             `json:"invented"`
	Understood curve.Understood `json:"understood"`
	LevelDB    float64          `json:"level_db"`
	RMSDB      float64          `json:"rms_db"`
	MaxDB      float64          `json:"max_db"`
	MaxHz      float64          `json:"max_hz"`
	Measured   curve.Curve      `json:"measured"`
	Predicted  curve.Curve      `json:"predicted"`
	Difference curve.Curve      `json:"difference"`
}

// SheetAnswer is everything the job sheet says.
type SheetAnswer struct {
	Title     string         `json:"title"`
	JobFile   string         `json:"job_file"`
	JobSHA256 string         `json:"job_sha256"`
	Bands     BandsAnswer    `json:"bands"`
	Family    []curve.Curve  `json:"family"` // band curves: each boost, each cut, all up, all down
	Ranges    *RangesAnswer  `json:"ranges"` // null: the job says of no part how far it may be off
	Volts     VoltsAnswer    `json:"volts"`
	Noise     []NoiseAnswer  `json:"noise"` // flat, then all up
	Compare   *CompareAnswer `json:"compare"`
	Explain   *ExplainAnswer `json:"explain"` // null: no curves of a whole unit
	Parts     []FittedPart   `json:"parts"`
	Picked    *PickAnswer    `json:"picked,omitempty"` // for who looks the parts up in a drawer, see Case.Pick
}

// FittedPart is one part as marked and as measured. Values are in the kind's
// base unit; Value is what the circuit was solved with.
type FittedPart struct {
	Part      string   `json:"part"`
	Kind      string   `json:"kind"`
	Band      string   `json:"band,omitempty"`
	Points    []string `json:"points"`
	Marked    *float64 `json:"marked"`
	Measured  *float64 `json:"measured"`
	Value     *float64 `json:"value"`
	Tolerance string   `json:"tolerance,omitempty"`
	DCR       *float64 `json:"dcr,omitempty"`
	Note      string   `json:"note,omitempty"` // how it was measured, its id
}
