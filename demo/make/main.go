// Command make writes the demo's measured curves: two invented units of the
// six-band job of demo/bass-head, in two export shapes, with seeded noise, and
// the check-sums and the true part values that belong to them. The same
// program gives the same bytes every time.
//
// It stands beside the house on purpose: it shares no line with the engine
// whose predictions its curves are laid against. Its circuits are solved by
// plain nodal admittances in a dense matrix with legs lumped into one number
// each, where the engine keeps branch currents in a planned sparse one; its
// Newton's method, its transistor and its search for a band's centre are its
// own too. Should the two agree, neither has copied the other's mistake.
//
// Run it at the top of the repository:
//
//	go run ./demo/make
package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

const folder = "demo/bass-head"

func main() {
	if err := write(folder); err != nil {
		fmt.Fprintln(os.Stderr, "make:", err)
		os.Exit(3)
	}
}

// write makes every file and writes those that have changed.
func write(folder string) error {
	made, err := files(os.DirFS(folder))
	if err != nil {
		return err
	}
	for _, name := range slices.Sorted(maps.Keys(made)) {
		path := filepath.Join(folder, name)
		if old, err := os.ReadFile(path); err == nil && bytes.Equal(old, made[name]) {
			continue
		}
		if err := os.WriteFile(path, made[name], 0o644); err != nil {
			return err
		}
		fmt.Println("wrote", path)
	}
	return nil
}

// export is one unit's takes and the shape they are written in.
type export struct {
	unit  unit
	shape shape
	takes []take
}

// exports are the two units, measured. Noise: dB, one standard deviation.
func exports() []export {
	a, b := unitA(), unitB()
	return []export{
		{a, pointAndComma, measure(a, seedA, 0.02)},
		{b, commaAndSemicolon, measure(b, seedB, 0.04)},
	}
}

// byHand are the files of the folder that nothing here makes.
var byHand = [...]string{"drawer.csv", "feed.toml", "wired.toml", "metal.toml", "done.toml", "link-cut.svg"}

// files gives the demo's made files by name: the curves, and job.toml and
// README.md with their made parts renewed. What else these two hold is
// written by hand and kept as it is, and so are the files that are by hand
// throughout.
func files(old fs.FS) (map[string][]byte, error) {
	made := map[string][]byte{}
	var entries strings.Builder
	all := exports()
	for _, e := range all {
		for _, t := range e.takes {
			name := e.shape.fileName(t)
			made[name] = []byte(e.shape.write(t))
			entries.WriteString(entry(t, name, made[name]))
		}
	}
	for name, text := range map[string]string{"job.toml": entries.String(), "README.md": truth(all)} {
		kept, err := fs.ReadFile(old, name)
		if err != nil {
			return nil, err
		}
		if made[name], err = renew(kept, text); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	for _, name := range byHand {
		kept, err := fs.ReadFile(old, name)
		if err != nil {
			return nil, err
		}
		made[name] = kept
	}
	return made, nil
}

// entry is the job's [[curve]] of one file.
func entry(t take, file string, bytes []byte) string {
	sum := sha256.Sum256(bytes)
	return fmt.Sprintf(`
[[curve]]
name = "unit %s, %s"
unit = "%s"
role = "measured"
file = "%s"
sha256 = "%s"
setting = "%s"
level = "-20 dBu"
invented = true
`, t.unit, t.setting.name, t.unit, file, hex.EncodeToString(sum[:]), t.setting.text)
}

// The made part of a file lies between two lines that hold these words.
const (
	madeFrom = "made by go run ./demo/make, do not edit"
	madeTo   = "end of the made part"
)

// renew puts a text between the two marked lines.
func renew(kept []byte, text string) ([]byte, error) {
	before, rest, found := strings.Cut(string(kept), madeFrom)
	end := strings.LastIndex(rest, madeTo)
	if !found || end < 0 || strings.Count(rest, madeTo) != 1 {
		return nil, fmt.Errorf("no part between %q and %q", madeFrom, madeTo)
	}
	opening, _, _ := strings.Cut(rest, "\n")
	closing := rest[strings.LastIndex(rest[:end], "\n")+1:]
	return []byte(before + madeFrom + opening + "\n" + text + "\n" + closing), nil
}
