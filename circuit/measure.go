package circuit

// Measure takes figures of many builds of a circuit: what a spread samples
// and a fit compares. One Measure belongs to one worker.
type Measure interface {
	// Figures names what is taken, in order.
	Figures() []string
	// Take measures the first n builds, whose knobs have been turned. figures
	// is by figure and build; a figure that a build does not have is NaN there,
	// and stays inside the rooms that count such builds.
	Take(b *Builds, n int, figures [][BuildCount]float64)
}
