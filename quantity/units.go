package quantity

// unit is how one unit is read and written.
type unit struct {
	name   string
	symbol string
}

var (
	ohm     = unit{"ohm", "Ω"}
	farad   = unit{"farad", "F"}
	henry   = unit{"henry", "H"}
	hertz   = unit{"hertz", "Hz"}
	volt    = unit{"volt", "V"}
	ampere  = unit{"ampere", "A"}
	watt    = unit{"watt", "W"}
	second  = unit{"second", "s"}
	metre   = unit{"metre", "m"}
	celsius = unit{"celsius", "°C"}
	decibel = unit{"decibel", "dB"}
	level   = unit{"level", "V"}
)
