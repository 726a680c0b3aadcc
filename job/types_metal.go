package job

import "bandwright/quantity"

// Tab is the band of sheet that holds a slider, and its place in the chassis,
// by caliper. What is not a pointer must be told.
type Tab struct {
	Metal      string           `toml:"metal"`
	Thickness  quantity.Metres  `toml:"thickness"`
	Radius     *quantity.Metres `toml:"radius"` // inside, of every bend; nil: the thickness
	K          *float64         `toml:"k"`      // nil: the metal's
	Housing    Housing          `toml:"housing"`
	Height     quantity.Metres  `toml:"height"` // of the band along the travel
	Overlap    *quantity.Metres `toml:"overlap"`
	Tongue     Tongue           `toml:"tongue"`
	Chassis    quantity.Metres  `toml:"chassis"`    // its thickness
	SlotWidth  *quantity.Metres `toml:"slot_width"` // across the tongue's sheet
	SlotLength *quantity.Metres `toml:"slot_length"`
	SlotPitch  *quantity.Metres `toml:"slot_pitch"` // between the two of a tab, middle to middle; nil: cut as the tab wants
	Slots      []TabSlots       `toml:"slots"`
	Line       int              `toml:"-"` // where it stands in the file, for findings; 0 is not known
}

// Housing is the slider's, across its travel.
type Housing struct {
	Width  quantity.Metres  `toml:"width"`
	Depth  quantity.Metres  `toml:"depth"`
	Corner *quantity.Metres `toml:"corner"` // radius of its edges; nil: sharp
}

// Tongue is what goes through the chassis on each side of the housing.
type Tongue struct {
	Width  quantity.Metres `toml:"width"` // along the travel
	Beyond quantity.Metres `toml:"beyond"`
	Held   string          `toml:"held" words:"twist fold"` // blank is twist
}

// TabSlots are the two slots of one band as measured in a chassis that has
// them: their middles, from one edge.
type TabSlots struct {
	Band   string           `toml:"band"`
	One    quantity.Metres  `toml:"one"`
	Two    quantity.Metres  `toml:"two"`
	Width  *quantity.Metres `toml:"width"`  // nil: the tab's slot_width
	Length *quantity.Metres `toml:"length"` // nil: the tab's slot_length
	Line   int              `toml:"-"`
}

// Panel is the sheet that sliders, lamp, switch and jack go through, seen from
// the front; places are from its left and upper edge.
type Panel struct {
	Width       quantity.Metres    `toml:"width"`
	Height      quantity.Metres    `toml:"height"`
	Thickness   quantity.Metres    `toml:"thickness"`
	Bridge      *quantity.Metres   `toml:"bridge"` // least metal between two cuts
	First       quantity.Metres    `toml:"first"`  // the first slider's middle, across
	Down        quantity.Metres    `toml:"down"`   // the middle of the travel
	Pitch       *quantity.Metres   `toml:"pitch"`  // from slider to slider
	Lever       quantity.Metres    `toml:"lever"`  // along the travel
	Margin      *quantity.Metres   `toml:"margin"` // at each end of a slot
	SlotWidth   quantity.Metres    `toml:"slot_width"`
	Screws      *quantity.Metres   `toml:"screws"` // of a slider, from one to the other; nil: none go through
	ScrewHole   *quantity.Metres   `toml:"screw_hole"`
	ScaleStep   *quantity.Decibels `toml:"scale_step"`
	Letters     string             `toml:"letters" words:"stated predicted measured"` // which frequency stands below a slider; blank is stated
	Unit        string             `toml:"unit"`                                      // whose curves were measured; "": the first
	LeverStands *quantity.Metres   `toml:"lever_stands"`                              // from the face that the slider lies against to its tip
	Knob        *quantity.Metres   `toml:"knob"`                                      // of the lever that it takes
	Bits        []string           `toml:"bits"`                                      // owned, lengths
	Sliders     []PanelSlider      `toml:"slider"`
	Holes       []PanelHole        `toml:"hole"`
	Texts       []PanelText        `toml:"text"`
	Behind      []PanelBehind      `toml:"behind"`
	Line        int                `toml:"-"` // where it stands in the file, for findings; 0 is not known
}

// PanelSlider is a slider whose place or lettering is its own.
type PanelSlider struct {
	Band   string           `toml:"band"`
	Across *quantity.Metres `toml:"across"`
	Down   *quantity.Metres `toml:"down"`
	Travel *quantity.Metres `toml:"travel"` // nil: the band's slider's
	Label  string           `toml:"label"`  // "": its frequency
	Line   int              `toml:"-"`
}

// PanelHole is a round hole, there already (Old) or to be drilled.
type PanelHole struct {
	Name   string          `toml:"name"`
	Across quantity.Metres `toml:"across"`
	Down   quantity.Metres `toml:"down"`
	Size   quantity.Metres `toml:"size"`
	Old    bool            `toml:"old"`
	Moved  string          `toml:"moved"` // the [[moved]] part that it is the old or the new hole of
	Label  string          `toml:"label"`
	Line   int             `toml:"-"`
}

// PanelText is lettering of its own, its middle at a place.
type PanelText struct {
	Text   string           `toml:"text"`
	Across quantity.Metres  `toml:"across"`
	Down   quantity.Metres  `toml:"down"`
	Size   *quantity.Metres `toml:"size"`
}

// PanelBehind is one pile behind the panel, counted from its back, and what
// stands in its way.
type PanelBehind struct {
	Name   string           `toml:"name"`
	Layers []PanelLayer     `toml:"layer"` // on each other, from the panel back
	Room   quantity.Metres  `toml:"room"`  // from the panel's back to what stands there
	To     string           `toml:"to"`
	Air    *quantity.Metres `toml:"air"` // least gap
	Line   int              `toml:"-"`
}

// PanelLayer is one height of a pile.
type PanelLayer struct {
	Name   string          `toml:"name"`
	Height quantity.Metres `toml:"height"`
}

// Print is the paper that templates are printed on, and what the two check
// bars of a first print measured.
type Print struct {
	Paper     string           `toml:"paper" words:"A4 Letter"`
	BarAcross *quantity.Metres `toml:"bar_across"`
	BarDown   *quantity.Metres `toml:"bar_down"`
}
