//go:build unix

package shop

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"bandwright/trials"
)

// The tests below keep jobs in processes of their own: this program, run again
// with the deed to do among its arguments.
const childDeed = "BANDWRIGHT_SHOP_DEED"

func TestMain(m *testing.M) {
	if words := strings.Fields(os.Getenv(childDeed)); len(words) == 3 {
		number, err := strconv.Atoi(words[2])
		if err == nil {
			err = children[words[0]](words[1], number)
		}
		if err != nil {
			fmt.Println("error:", err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

var children = map[string]func(folder string, number int) error{
	"keep": keepOn, "add": addLines, "full": saveWhenFull, "read-only": saveReadOnly,
}

// child begins a process that does a deed in a folder.
func child(t *testing.T, deed, folder string, number int) (*exec.Cmd, io.ReadCloser) {
	t.Helper()
	if strings.ContainsAny(folder, " \t\n") {
		t.Fatalf("the folder for tests has a blank in its name: %s", folder)
	}
	c := exec.Command(os.Args[0], "-test.run=^$")
	c.Env = append(os.Environ(), fmt.Sprintf("%s=%s %s %d", childDeed, deed, folder, number))
	c.Stderr = os.Stderr
	out, err := c.StdoutPipe()
	if err == nil {
		err = c.Start()
	}
	if err != nil {
		t.Fatal(err)
	}
	return c, out
}

// numbered is a text that says its number, and has a length of its own.
func numbered(n int) []byte {
	line := fmt.Sprintf("# text %d\n", n)
	return []byte(line + strings.Repeat("# and so on and so on\n", n*7%997) + line)
}

// numberOf reads a text's number back; false: it is no whole text.
func numberOf(text []byte) (int, bool) {
	var n int
	if _, err := fmt.Sscanf(string(text), "# text %d\n", &n); err != nil {
		return 0, false
	}
	return n, bytes.Equal(text, numbered(n))
}

// keepOn saves a job, a file beside it, a new job and the list of those put
// away, and over again, until it is killed; each save is told once it is done.
func keepOn(folder string, number int) error {
	f, err := Open(folder)
	if err != nil {
		return err
	}
	for n := number; ; n++ {
		text, err := f.Read("a")
		if err != nil {
			return err
		}
		if err := f.Save("a", numbered(n), Version(text)); err != nil {
			return err
		}
		fmt.Println("job", n)
		based := ""
		if there, err := f.File("a", "curve.csv"); err == nil {
			based = Version(there)
		}
		if err := f.SaveFile("a", "curve.csv", numbered(n), based); err != nil {
			return err
		}
		fmt.Println("file", n)
		if n%4 == 0 {
			if _, err := f.Create(fmt.Sprintf("made %d", n), map[string][]byte{jobFile: numbered(n), "curves/c.csv": numbered(n + 1)}); err != nil {
				return err
			}
			fmt.Println("made", n)
		}
		if err := f.Archive("a", n%2 == 0); err != nil {
			return err
		}
		fmt.Println("away", n)
	}
}

// A hundred times a process is killed while it saves: nothing that it told to
// be kept is lost, no file is half, and the next save finds its way.
func TestKilledWhileSaving(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20261130), 1))
	folder := t.TempDir()
	if err := errors.Join(os.Mkdir(filepath.Join(folder, "a"), 0o777), os.WriteFile(filepath.Join(folder, "a", jobFile), numbered(0), 0o666)); err != nil {
		t.Fatal(err)
	}
	kept := map[string]int{"job": 0, "file": -1, "made": -1, "away": -1}
	made := map[int]bool{}
	next, left := 1, 0
	for range trials.Count(100) {
		c, out := child(t, "keep", folder, next)
		told := bufio.NewScanner(out)
		for wait := rng.IntN(9); wait > 0 && told.Scan(); wait-- {
			note(t, told.Text(), kept, made)
		}
		time.Sleep(time.Duration(rng.Int64N(int64(4 * time.Millisecond))))
		if err := c.Process.Kill(); err != nil {
			t.Fatal(err)
		}
		for told.Scan() {
			note(t, told.Text(), kept, made)
		}
		if err := c.Wait(); err == nil || c.ProcessState.ExitCode() >= 0 {
			t.Fatalf("it ended by itself: %v", err)
		}
		next = 1 + wholeStill(t, folder, kept, made)
		if _, hidden := seen(t, folder); len(hidden) > 0 {
			left++
		}
	}
	t.Logf("%d texts were kept; %d times something was left lying about", next, left)
	clearedAway(t, folder)
}

// note takes down what a process told.
func note(t *testing.T, line string, kept map[string]int, made map[int]bool) {
	t.Helper()
	var kind string
	var n int
	if _, err := fmt.Sscanf(line, "%s %d", &kind, &n); err != nil {
		t.Fatalf("told %q", line)
	}
	kept[kind] = n
	if kind == "made" {
		made[n] = true
	}
}

// wholeStill checks a folder after a death, and gives the last number in it.
func wholeStill(t *testing.T, folder string, kept map[string]int, made map[int]bool) (last int) {
	t.Helper()
	files, _ := seen(t, folder)
	for name, least := range map[string]int{"a/job.toml": kept["job"], "a/curve.csv": kept["file"]} {
		text, there := files[name]
		n, is := numberOf([]byte(text))
		if there && !is || !there && least >= 0 {
			t.Fatalf("%s is half: %.60q", name, text)
		}
		if there && (n < least || n > least+1 && least > 0 && n > kept["job"]+1) {
			t.Fatalf("%s is number %d; told was %d", name, n, least)
		}
		last = max(last, n)
	}
	for n := range made {
		if files[fmt.Sprintf("made-%d/job.toml", n)] == "" {
			t.Fatalf("job %d was told to be made and is not there", n)
		}
	}
	for name, text := range files {
		var n int
		if _, err := fmt.Sscanf(name, "made-%d/job.toml", &n); err != nil {
			continue
		}
		if text != string(numbered(n)) || files[fmt.Sprintf("made-%d/curves/c.csv", n)] != string(numbered(n+1)) {
			t.Fatalf("%s is half", name)
		}
	}
	if list := files[archiveFile]; list != "" && list != "a\n" {
		t.Fatalf("the list of those put away is %q", list)
	}
	return last
}

// clearedAway saves everything once more, after which nothing is left.
func clearedAway(t *testing.T, folder string) {
	t.Helper()
	f := opened(t, folder)
	text, err := f.Read("a")
	if err != nil {
		t.Fatal(err)
	}
	curve, err := f.File("a", "curve.csv")
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.Create("last", map[string][]byte{jobFile: numbered(1)})
	if err := errors.Join(err, f.Save("a", []byte(nextText), Version(text)), f.SaveFile("a", "curve.csv", []byte("20,1\n"), Version(curve)),
		f.Archive("a", true), f.Archive("a", false)); err != nil {
		t.Fatal(err)
	}
	if _, hidden := seen(t, folder); len(hidden) > 0 {
		t.Errorf("%v are left", hidden)
	}
}

// addLines adds so many lines to a job, each by a save of its own.
func addLines(folder string, times int) error {
	f, err := Open(folder)
	if err != nil {
		return err
	}
	for done := 0; done < times; {
		text, err := f.Read("a")
		if err != nil {
			return err
		}
		line := fmt.Sprintf("# line %d of process %d\n", done, os.Getpid())
		switch err := f.Save("a", append(text, line...), Version(text)); {
		case errors.Is(err, ErrChanged): // another was first: look again
		case err != nil:
			return err
		default:
			done++
		}
	}
	return nil
}

// Several processes save one job over and over: no save of one is lost under
// that of another.
func TestTwoProcessesSave(t *testing.T) {
	folder := begun(t)
	at := filepath.Join(folder, "a", jobFile)
	const processes, times = 3, 25
	var all [processes]*exec.Cmd
	var said [processes]io.Reader
	for i := range all {
		all[i], said[i] = child(t, "add", folder, times)
	}
	for i, c := range all {
		text, err := io.ReadAll(said[i])
		if err := errors.Join(err, c.Wait()); err != nil {
			t.Errorf("%v: %s", err, text)
		}
	}
	text, err := os.ReadFile(at)
	lines := map[string]bool{}
	for line := range strings.Lines(strings.TrimPrefix(string(text), firstText)) {
		lines[line] = true
	}
	if err != nil || len(lines) != processes*times {
		t.Errorf("%d saves of %d processes left %d lines (%v)", processes*times, processes, len(lines), err)
	}
}

// saveWhenFull saves while no file may grow beyond so many bytes, which is how
// a full disk shows to a process without one.
func saveWhenFull(folder string, most int) error {
	signal.Ignore(syscall.SIGXFSZ)
	f, err := Open(folder)
	if err != nil {
		return err
	}
	limit := syscall.Rlimit{Cur: uint64(most), Max: uint64(most)}
	if err := syscall.Setrlimit(syscall.RLIMIT_FSIZE, &limit); err != nil {
		return err
	}
	return refusals(f, bytes.Repeat([]byte("# long\n"), most))
}

// saveReadOnly saves as somebody who may only read.
func saveReadOnly(folder string, _ int) error {
	f, err := Open(folder)
	if err != nil {
		return err
	}
	if os.Geteuid() == 0 { // who may do everything becomes one who may not
		const nobody = 65534
		if err := syscall.Setuid(nobody); err != nil {
			return err
		}
	}
	return refusals(f, []byte(nextText))
}

// refusals tries every kind of save with a text; one that is done is an error.
func refusals(f *Folder, text []byte) error {
	_, made := f.Create("made", map[string][]byte{jobFile: text})
	for name, err := range map[string]error{"save": f.Save("a", text, Version([]byte(firstText))), "file": f.SaveFile("a", "new.csv", text, ""),
		"over": f.SaveFile("a", "old.csv", text, Version([]byte("20,0\n"))), "made": made} {
		if err == nil || Reason(err) == "" || errors.Is(err, ErrChanged) || errors.Is(err, ErrNone) {
			return fmt.Errorf("%s is answered with %v", name, err)
		}
		fmt.Println("refused:", Reason(err))
	}
	return nil
}

// refusedIn runs a deed that must be refused all along, and checks that the
// folder is as it was.
func refusedIn(t *testing.T, deed, folder string, number int) {
	t.Helper()
	before, _ := seen(t, folder)
	c, out := child(t, deed, folder, number)
	said, err := io.ReadAll(out)
	if err := errors.Join(err, c.Wait()); err != nil || strings.Count(string(said), "refused: ") != 4 {
		t.Errorf("%v: %s", err, said)
	}
	after, hidden := seen(t, folder)
	if len(hidden) > 0 || fmt.Sprint(after) != fmt.Sprint(before) {
		t.Errorf("there is %v and %v", after, hidden)
	}
}

// A disk that is full keeps what it has.
func TestFullDisk(t *testing.T) {
	folder := begun(t)
	refusedIn(t, "full", folder, 1000)
	again(t, deeds()[0], folder, deeds()[0].done(t), "once there is room")
}

// A folder that may not be written to keeps what it has, and is read.
func TestReadOnlyFolder(t *testing.T) {
	for _, locked := range []string{"never written to", "written to before"} {
		t.Run(locked, func(t *testing.T) {
			folder := begun(t)
			if err := os.Chmod(filepath.Dir(folder), 0o755); err != nil {
				t.Fatal(err)
			}
			if locked == "written to before" {
				if err := os.WriteFile(filepath.Join(folder, lockFile), nil, 0o666); err != nil {
					t.Fatal(err)
				}
				if err := os.Chmod(filepath.Join(folder, lockFile), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			mode := func(mode os.FileMode) {
				for _, name := range []string{".", "a", "gone"} {
					if err := os.Chmod(filepath.Join(folder, name), mode); err != nil {
						t.Fatal(err)
					}
				}
			}
			mode(0o555)
			defer mode(0o755)
			refusedIn(t, "read-only", folder, 0)
		})
	}
}
