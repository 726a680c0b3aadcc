package job

import (
	"strings"

	"bandwright/finding"
)

// readings checks the form of every reading; which points there are, and what an
// instrument can show, those say who take it up.
func (c *checker) readings() {
	for i := range c.job.Readings {
		c.reading(i, &c.job.Readings[i])
	}
}

func (c *checker) reading(i int, r *Reading) {
	at := func(key string) finding.Place { return c.of([]any{"reading", i}, c.at("reading", i, key)) }
	if blank(r.Kind) {
		c.missing("reading", i, "kind")
	}
	if blank(r.Red) && r.Kind != ReadGain {
		c.missing("reading", i, "red")
	}
	switch {
	case r.Kind == ReadGain && r.At == nil:
		c.missing("reading", i, "at")
	case r.Kind == ReadGain && *r.At == 0:
		c.report(IDOutOfRange, at("at"), finding.Args{"key": "reading.at", "read": 0.0, "low": 1})
	}
	if !blank(r.Setting) {
		c.setting(r.Setting, at("setting"))
	}
	if _, _, err := r.Number(); r.Taken() && !blank(r.Kind) && err != nil {
		c.list = append(c.list, placed(err, at("value"), "reading.value", r.Value)...)
	}
}

// isOpen says whether a text is what a display says where it has no number.
func isOpen(text string) bool {
	text = strings.TrimSpace(text)
	return strings.EqualFold(text, ReadOpen) || strings.EqualFold(text, "OL")
}
