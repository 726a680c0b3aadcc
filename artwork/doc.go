// Package artwork is the metal: the tab that holds a slider, panel and drill
// templates at true size.
//
// A Tab is a band of sheet bent round the slider's housing and soldered where
// its ends lap, with tongues that go through slots of the chassis and are
// twisted or folded there. Unfold gives its flat pattern: outline, bend lines,
// both hands. Fold takes a pattern and bends it again, and so proves it.
//
// Lengths are millimetres, x to the right and y down; angles are radians.
package artwork
