package draw

// Ink gives the i-th line colour, beginning again after the last. All are dark
// enough on white to read as text (contrast 4.5:1 and more) and fall to
// different greys; still, a plot gives each line its own pattern first.
func Ink(i int) Colour {
	inks := [...]Colour{
		ink,
		{0x9a, 0x34, 0x1c}, // oxide red
		{0x1f, 0x4e, 0x79}, // slate blue
		{0x6a, 0x5a, 0x10}, // olive
		{0x6b, 0x3a, 0x6e}, // plum
		{0x2f, 0x66, 0x4b}, // bottle green
	}
	return inks[i%len(inks)]
}
