package job

import "bandwright/quantity"

// Feed is the supply that the board hangs on, and what its parts are judged by.
// Parts are named as the circuit names them.
type Feed struct {
	Rail       string              `toml:"rail"`      // the voltage source; "" is "rail"
	Cold       *quantity.Volts     `toml:"cold"`      // before the valves draw, at nominal mains
	Tolerance  *quantity.Tolerance `toml:"tolerance"` // of the mains
	Frequency  *quantity.Hertz     `toml:"frequency"` // of the mains
	Ripple     *quantity.Volts     `toml:"ripple"`    // rms, at the tap
	Dropper    []string            `toml:"dropper"`   // in series, nothing drawn between them
	Zener      string              `toml:"zener"`
	ZenerLeast *quantity.Amperes   `toml:"zener_keep"` // that it needs to hold its volts
	Board      []string            `toml:"board"`      // parts whose first leg comes off when the board is unplugged
	Series     *quantity.Series    `toml:"series"`     // preferred values a dropper is chosen from
	Watts      *quantity.Tolerance `toml:"most_watts"`
	Volts      *quantity.Tolerance `toml:"most_volts"`
	Amperes    *quantity.Tolerance `toml:"most_amperes"`
	Safe       *quantity.Volts     `toml:"safe"`
	SafeAfter  *quantity.Seconds   `toml:"safe_after"`
	Fuse       string              `toml:"fuse"` // as it is marked
	Line       int                 `toml:"-"`    // where it stands in the file, for findings; 0 is not known
}

// Rated is what a part may carry by its data sheet.
type Rated struct {
	Volts   *quantity.Volts   `toml:"volts"`
	Watts   *quantity.Watts   `toml:"watts"`
	Amperes *quantity.Amperes `toml:"amperes"`
}

// PowerUp is how the first volts are judged, and how far that has come.
type PowerUp struct {
	Pass         *quantity.Tolerance `toml:"pass"`
	Look         *quantity.Tolerance `toml:"look"` // beyond it: stop
	Meter        *quantity.Ohms      `toml:"meter"`
	BenchAt      string              `toml:"bench_at"` // the point that the bench supply feeds
	BenchVolts   *quantity.Volts     `toml:"bench_volts"`
	BenchAmperes *quantity.Amperes   `toml:"bench_limit"`
	Stages       []PowerStage        `toml:"stage"`
}

// PowerStage is what a person says of one stage: a tick proves nothing.
type PowerStage struct {
	Stage   string `toml:"stage" words:"bench limiter mains"`
	Signed  string `toml:"signed"`  // date or initials
	Skipped string `toml:"skipped"` // the reason
}

// The stages of a first power-up, in their order.
const (
	StageBench   = "bench"
	StageLimiter = "limiter"
	StageMains   = "mains"
)

// PowerStages lists them.
func PowerStages() []string { return []string{StageBench, StageLimiter, StageMains} }
