package job

import "bandwright/quantity"

// Wanted is what one band is to do with all others centred, and which parts
// it may be done with. A figure left blank is free.
type Wanted struct {
	Band      string             `toml:"band"`
	Centre    *quantity.Hertz    `toml:"centre"`
	Boost     *quantity.Decibels `toml:"boost"`
	Cut       *quantity.Decibels `toml:"cut"` // with or without its minus
	Q         *float64           `toml:"q"`   // centre over width at half the boost in dB
	Coil      WantedCoil         `toml:"coil"`
	Capacitor WantedCapacitor    `toml:"capacitor"`
	Resistor  WantedResistor     `toml:"resistor"`
}

// WantedCoil says which coil a leg may have: the band's own, one of those
// owned, one of a series, or any.
type WantedCoil struct {
	Keep      bool                `toml:"keep"`
	Series    *quantity.Series    `toml:"series"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`     // of one not owned
	PerHenry  *quantity.Ohms      `toml:"dcr_per_henry"` // of one yet to be wound
	Owned     []OwnedCoil         `toml:"owned"`
}

// OwnedCoil is a coil at hand.
type OwnedCoil struct {
	ID        string              `toml:"id"`
	Value     quantity.Henries    `toml:"value"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	DCR       *quantity.Ohms      `toml:"dcr"`
	Measured  *quantity.Henries   `toml:"measured"`
}

// WantedCapacitor is as WantedCoil.
type WantedCapacitor struct {
	Keep      bool                `toml:"keep"`
	Series    *quantity.Series    `toml:"series"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	Owned     []OwnedCapacitor    `toml:"owned"`
}

// OwnedCapacitor is a capacitor at hand.
type OwnedCapacitor struct {
	ID        string              `toml:"id"`
	Value     quantity.Farads     `toml:"value"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	Measured  *quantity.Farads    `toml:"measured"`
}

// WantedResistor is as WantedCoil.
type WantedResistor struct {
	Keep      bool                `toml:"keep"`
	Series    *quantity.Series    `toml:"series"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	Owned     []OwnedResistor     `toml:"owned"`
}

// OwnedResistor is a resistor at hand; 0 ohm is a wire.
type OwnedResistor struct {
	ID        string              `toml:"id"`
	Value     quantity.Ohms       `toml:"value"`
	Tolerance *quantity.Tolerance `toml:"tolerance"`
	Measured  *quantity.Ohms      `toml:"measured"`
}
