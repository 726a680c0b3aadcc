package bench

import (
	"context"
	"testing"
)

// Headroom asks transistors and op-amps; a triode it does not ask is named.
func TestHeadroomNamesTriodes(t *testing.T) {
	c := opensJob(t, spreadJob+`[[part]]
name = "v1"
kind = "triode"
points = ["rail", "q1.base", "k"]
set = { mu = 100, exponent = 1.4, kg1 = 1060, kp = 600, kvb = 300 }
[[part]]
name = "R.k"
kind = "resistor"
points = ["k", "0"]
value = "10k"
`)
	_, found, err := c.Bands(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	if f, ok := has(found, IDTriodeHeadroom); !ok || f.Args["parts"] != "v1" {
		t.Errorf("not named: %v", found)
	}
}
