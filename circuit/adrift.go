package circuit

// Adrift names one point of every set of points that nothing ties to ground, at
// whatever setting: half-made work is full of them. Tied to ground by OpenOhms,
// the insulation that they rest on, they are as they were and can be solved.
func (c *Circuit) Adrift() []string {
	number := map[string]int{Ground: 0}
	for i, p := range c.points {
		number[p] = i + 1
	}
	g := newGroups(len(c.points) + 1)
	for _, p := range c.parts {
		legs := p.Terminals()
		for _, l := range links(p, place{closed: true}) {
			to := 0
			if l.b >= 0 {
				to = number[legs[l.b]]
			}
			g.join(number[legs[l.a]], to)
		}
	}
	var list []string
	for i, p := range c.points {
		if g.find(i+1) == i+1 {
			list = append(list, p)
		}
	}
	return list
}
