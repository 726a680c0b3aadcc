package curve

import (
	"fmt"
	"strconv"
	"strings"
)

// Taking says how a curve was taken, as far as whoever read it from a recording
// has written it down. The zero values are "not known".
type Taking struct {
	LevelDBFS     *float64 `json:"level_dbfs,omitempty"`     // of the test signal's peak; full scale is 0
	LevelDBu      *float64 `json:"level_dbu,omitempty"`      // of the test signal
	GeneratorOhms *float64 `json:"generator_ohms,omitempty"` // it was fed through
	// Loopback is what the curve was read against: a channel of the same
	// recording, or another recording.
	Loopback        *Source `json:"loopback,omitempty"`
	LoopbackChannel int     `json:"loopback_channel,omitempty"` // from 1
	Played          *Source `json:"played,omitempty"`           // the test recording
	Less            string  `json:"less,omitempty"`             // the setting whose take was taken off
}

// Source is a file and its check-sum.
type Source struct {
	File   string `json:"file"`
	SHA256 string `json:"sha256"` // hex
}

func (s Source) String() string {
	return strconv.Quote(s.File) + sumMark + strconv.Quote(s.SHA256)
}

// The comments in which a taking is written.
const (
	levelMark     = "# level: "
	generatorMark = "# generator: "
	loopbackMark  = "# loopback: "
	playedMark    = "# played: "
	lessMark      = "# less: "
	channelMark   = "channel "
	sumMark       = " SHA-256 "
	ohmMark       = " ohm"
)

// lines are the comments of a taking; what is not known has none.
func (t *Taking) lines() (lines []string) {
	if t == nil {
		return nil
	}
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }
	if t.LevelDBFS != nil {
		lines = append(lines, levelMark+number(*t.LevelDBFS)+" dBFS")
	}
	if t.LevelDBu != nil {
		lines = append(lines, levelMark+number(*t.LevelDBu)+" dBu")
	}
	if t.GeneratorOhms != nil {
		lines = append(lines, generatorMark+number(*t.GeneratorOhms)+ohmMark)
	}
	switch {
	case t.Loopback != nil:
		lines = append(lines, loopbackMark+t.Loopback.String())
	case t.LoopbackChannel > 0:
		lines = append(lines, fmt.Sprint(loopbackMark, channelMark, t.LoopbackChannel))
	}
	if t.Played != nil {
		lines = append(lines, playedMark+t.Played.String())
	}
	if t.Less != "" {
		lines = append(lines, lessMark+t.Less)
	}
	return lines
}

// readTaking reads what lines has written; a line that cannot be read is the
// comment that any other file may have there. nil: there is none.
func readTaking(above []string) *Taking {
	var t Taking
	for _, line := range above {
		t.readLine(line)
	}
	if t == (Taking{}) {
		return nil
	}
	return &t
}

func (t *Taking) readLine(line string) {
	mark, text, ok := strings.Cut(line, ": ")
	if !ok {
		return
	}
	switch mark + ": " {
	case levelMark:
		if dbfs, is := strings.CutSuffix(text, " dBFS"); is {
			t.LevelDBFS = readNumber(dbfs)
		} else if dbu, is := strings.CutSuffix(text, " dBu"); is {
			t.LevelDBu = readNumber(dbu)
		}
	case generatorMark:
		if ohms, is := strings.CutSuffix(text, ohmMark); is {
			t.GeneratorOhms = readNumber(ohms)
		}
	case loopbackMark:
		if number, is := strings.CutPrefix(text, channelMark); is {
			t.LoopbackChannel, _ = strconv.Atoi(number)
		} else {
			t.Loopback = readSource(text)
		}
	case playedMark:
		t.Played = readSource(text)
	case lessMark:
		if s, err := ParseSetting(text); err == nil {
			t.Less = s.String()
		}
	}
}

func readNumber(text string) *float64 {
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || !finite(x) {
		return nil
	}
	return &x
}

func readSource(text string) *Source {
	file, err := strconv.QuotedPrefix(text)
	if err != nil {
		return nil
	}
	sum, marked := strings.CutPrefix(text[len(file):], sumMark)
	var s Source
	if s.File, err = strconv.Unquote(file); err != nil || !marked {
		return nil
	}
	if s.SHA256, err = strconv.Unquote(sum); err != nil {
		return nil
	}
	return &s
}
