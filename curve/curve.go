// Package curve holds a response over frequency: it reads curves as the
// world exports them, writes them, compares them and finds their features.
//
// Every curve carries the setting it belongs to: what a band measures depends
// on where its neighbours stand, so a curve without a setting means nothing.
package curve

// Origin says where a curve came from, so that it can be found again.
type Origin struct {
	File   string  `json:"file,omitempty"`   // relative path as the job names it
	SHA256 string  `json:"sha256,omitempty"` // of the original bytes, hex
	Taken  *Taking `json:"taken,omitempty"`  // how, where the file tells
}

// Curve is a magnitude, and where known a phase, over rising frequency.
// A Curve is never changed once made; operations return a new one.
type Curve struct {
	Name    string    `json:"name"`
	Setting Setting   `json:"setting"`
	Hz      []float64 `json:"hz"`                // strictly rising, > 0
	DB      []float64 `json:"db"`                // 20 log10 |gain|, one a frequency
	Degrees []float64 `json:"degrees,omitempty"` // same length, or nil: not known
	Origin  Origin    `json:"origin"`
}
