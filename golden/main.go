package golden

import (
	"errors"
	"flag"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Main runs a package's tests and then looks for orphans. Use it as
//
//	func TestMain(m *testing.M) { golden.Main(m) }
//
// Orphans are judged only when every test of the package ran and passed:
// with -run, -skip, -list, -fuzz or -short some golden files are untouched
// for a good reason. With -update orphans are removed.
func Main(m *testing.M) {
	code := m.Run()
	if code == 0 && wholeRun() {
		code = settleOrphans()
	}
	os.Exit(code)
}

// wholeRun tells whether the command line asked for every test.
func wholeRun() bool {
	for _, name := range []string{"test.run", "test.skip", "test.list", "test.fuzz"} {
		if f := flag.Lookup(name); f != nil && f.Value.String() != "" {
			return false
		}
	}
	return !testing.Short()
}

func settleOrphans() int {
	orphans, err := findOrphans(filepath.FromSlash(Dir))
	if err != nil {
		fmt.Println("golden:", err)
		return 1
	}
	code := 0
	for _, name := range orphans {
		path := filePath(name)
		if !*update {
			fmt.Printf("golden: %s is used by no test; remove it, or run with -update\n", path)
			code = 1
			continue
		}
		if err := os.Remove(path); err != nil {
			fmt.Println("golden:", err)
			code = 1
		}
	}
	return code
}

// findOrphans lists, sorted, the names under dir that no test asked for.
func findOrphans(dir string) ([]string, error) {
	touched.Lock()
	defer touched.Unlock()
	var orphans []string
	err := filepath.WalkDir(dir, func(path string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || strings.HasSuffix(path, ".got") {
			return err
		}
		name, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		if name = filepath.ToSlash(name); !touched.names[name] {
			orphans = append(orphans, name)
		}
		return nil
	})
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil // a package without golden files has no orphans
	}
	slices.Sort(orphans)
	return orphans, err
}
