package report

import "testing"

// A band's figure is said in words with its unit; any other stays as it is.
func TestFigureWords(t *testing.T) {
	for _, c := range []struct {
		name        string
		value       float64
		words, text string
	}{
		{"63 centre_hz", 62.5, "centre of band 63", "62.5 Hz"},
		{"low mids boost_db", 11.5, "boost of band low mids", "+11.50 dB"},
		{"400 q", 0.9, "Q of band 400", "0.9"},
		{"1000", -3, "1000", "−3"},
	} {
		if got := figureWords(c.name); got != c.words {
			t.Errorf("%s: %q, want %q", c.name, got, c.words)
		}
		if got := figureValue(c.name, c.value); got != c.text {
			t.Errorf("%s: %q, want %q", c.name, got, c.text)
		}
	}
}
