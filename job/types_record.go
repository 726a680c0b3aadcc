package job

import "bandwright/quantity"

// Record is what goes with the amplifier for whoever opens it next.
type Record struct {
	Owner      string   `toml:"owner"` // the owner's reference
	Serial     string   `toml:"serial"`
	TakenIn    string   `toml:"taken_in"`    // date
	HandedBack string   `toml:"handed_back"` // date
	By         string   `toml:"by"`
	Why        string   `toml:"why"`
	Deviations []string `toml:"deviations"` // that are known, from the drawing or from what was agreed
	Undo       []string `toml:"undo"`       // what is to be done beside rejoining links, in order
	Photos     []Photo  `toml:"photo"`
}

// Photo is a picture that goes with the record.
type Photo struct {
	File  string `toml:"file"` // from the job's folder down
	Shows string `toml:"shows"`
}

// Left is the amplifier as it went back.
type Left struct {
	Mains      *quantity.Volts `toml:"mains"`
	Rail       *quantity.Volts `toml:"rail"`
	Hum        string          `toml:"hum"`
	Noise      string          `toml:"noise"`
	NormalHum  string          `toml:"normal_hum"` // in the player's words
	Footswitch string          `toml:"footswitch"` // what it does, in the player's words
	Measured   string          `toml:"measured"`   // date
	Notes      string          `toml:"notes"`
	Volts      []FoundVolt     `toml:"volts"`
}
