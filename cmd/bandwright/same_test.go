package main

import (
	"bytes"
	"context"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/ask"
	"bandwright/demo"
	"bandwright/page"
	"bandwright/shop"
)

// bothWays is a question as the command's words put it and as the page's
// fields do. Every row of the table has at least one here, and one with a
// mistake where a mistake can be made.
type bothWays struct {
	question string
	words    []string
	fields   string // beside the job
}

var everyQuestion = []bothWays{
	{"check", []string{"check", "job.toml"}, ``},
	{"bands", []string{"bands", "job.toml"}, ``},
	{"bands", []string{"bands", "job.toml", "--others", "63=+1,lift"}, `"others":"63=+1,lift"`},
	{"bands", []string{"bands", "job.toml", "--others", "64=+1"}, `"others":"64=+1"`},
	{"ranges", []string{"bands", "job.toml", "--ranges"}, ``},
	{"predict", []string{"predict", "job.toml", "--set", "63=+1,400=-0.5", "--at", "20,63,100"}, `"set":"63=+1,400=-0.5","at":[20,63,100]`},
	{"predict", []string{"predict", "job.toml", "--set", "bypass", "--no-ranges"}, `"set":"bypass","no_ranges":true`},
	{"predict", []string{"predict", "job.toml", "--set", "<up>"}, `"set":"<up>"`},
	{"shares", []string{"predict", "job.toml", "--set", "63=+1", "--shares", "200Hz"}, `"set":"63=+1","hz":200`},
	{"volts", []string{"predict", "job.toml", "--volts", "--set", "lift"}, `"set":"lift"`},
	{"noise", []string{"noise", "job.toml"}, ``},
	{"compare", []string{"compare", "job.toml"}, ``},
	{"spread", []string{"spread", "job.toml", "--count", "100", "--seed", "7", "--limit-centre", "3%", "--limit-boost", "0.5dB", "--what-if", "capacitor=1%"},
		`"count":100,"seed":7,"limit_centre":"3%","limit_boost":"0.5dB","what_if":"capacitor=1%"`},
	{"spread", []string{"spread", "job.toml", "--count", "0", "--limit-q", "wide"}, `"count":0,"limit_q":"wide"`},
	{"drawer", []string{"drawer", "drawer.csv", "--at", "400Hz"}, `"file":"drawer.csv","at":"400Hz"`},
	{"drawer", []string{"drawer", "none.csv"}, `"file":"none.csv"`},
	{"design", []string{"design", "job.toml", "--band", "400: centre 400Hz boost 10dB q 1", "--series", "E24"},
		`"band":["400: centre 400Hz boost 10dB q 1"],"series":"E24"`},
	{"design", []string{"design", "job.toml", "--band", "nothing"}, `"band":["nothing"]`},
	{"choose", []string{"choose", "job.toml", "drawer.csv", "--fix", "63: bag 1", "--draws", "50"}, `"fixed":["63: bag 1"],"draws":50`},
	{"choose", []string{"choose", "job.toml", "drawer.csv", "--limit-centre", "0%"}, `"limit_centre":"0%"`},
	{"fit", []string{"fit", "job.toml", "--unit", "B", "--curve", "unit B, flat", "--curve", "unit B, 400 boost", "--also", "copper", "--sliders", "2%"},
		`"unit":"B","curve":["unit B, flat","unit B, 400 boost"],"also":["copper"],"sliders":"2%"`},
	{"fit", []string{"fit", "job.toml", "--unit", "C", "--level", "loud"}, `"unit":"C","level":"loud"`},
	{"takes", []string{"sweep", "takes", "job.toml", "--rate", "48000"}, `"rate":48000`},
	{"signal", []string{"sweep", "make", "--set", "63=+1", "--set", "lift", "--full", "12", "--bits", "16"}, `"set":["63=+1","lift"],"full_dbu":12,"bits":"16"`},
	{"signal", []string{"sweep", "make", "--length", "long", "--bits", "12"}, `"length":"long","bits":"12"`},
	{"recording", []string{"sweep", "read", "test.wav", "--played", "test.wav", "--reference", "2", "--generator", "600ohm"},
		`"files":["test.wav"],"played":"test.wav","reference":2,"generator":"600ohm"`},
	{"recording", []string{"sweep", "read", "none.wav", "--played", "test.wav"}, `"files":["none.wav"],"played":"test.wav"`},
	{"explain", []string{"explain", "job.toml", "--to", "B"}, `"to":"B"`},
	{"explain", []string{"explain", "job.toml", "--from", "A", "--to", "A"}, `"from":"A","to":"A"`},
	{"tab", []string{"tab", "../metal/job.toml", "--right", "3", "--left", "2", "--bar-across", "99.7mm"}, `"job":"metal","right":3,"left":2,"bar_across":"99.7mm"`},
	{"tab", []string{"tab", "job.toml"}, ``},
	{"tab", []string{"tab", "../metal/job.toml", "--bar-across", "wide", "--bar-down", "3.9 m"}, `"job":"metal","bar_across":"wide","bar_down":"3.9 m"`},
	{"panel", []string{"panel", "../metal/job.toml", "--paper", "Letter"}, `"job":"metal","paper":"Letter"`},
	{"panel", []string{"panel", "../metal/job.toml", "--paper", "Foolscap"}, `"job":"metal","paper":"Foolscap"`},
	{"drill", []string{"drill", "../metal/job.toml"}, `"job":"metal"`},
	{"drill", []string{"drill", "job.toml"}, ``},
	{"trim", []string{"trim", "job.toml", "drawer.csv", "--unit", "B", "--most", "1"}, `"drawer":"drawer.csv","unit":"B","most":1`},
	{"trim", []string{"trim", "job.toml", "--capacitors", "E13"}, `"capacitors":"E13"`},
	{"sheet", []string{"sheet", "job.toml"}, ``},
	{"preferred", []string{"preferred", "resistor", "4k6"}, `"kind":"resistor","value":"4k6"`},
	{"preferred", []string{"preferred", "coil", "long"}, `"kind":"coil","value":"long"`},
	{"feed", []string{"feed", "../supply/job.toml"}, `"job":"supply"`},
	{"feed", []string{"feed", "job.toml"}, ``},
	{"powerup", []string{"volts", "../supply/job.toml", "--stage", "mains", "--rail", "398 V", "--skip", "limiter: no lamp in the house", "--reading", "volts out 11.9 V"},
		`"job":"supply","stage":"mains","rail":"398 V","skip":["limiter: no lamp in the house"],"reading":["volts out 11.9 V"]`},
	{"powerup", []string{"volts", "job.toml", "--stage", "bench", "--current", "-3 mA"}, `"stage":"bench","current":"-3 mA"`},
	{"runs", []string{"runs", "../wired/job.toml"}, `"job":"wired"`},
	{"ohms", []string{"ohms", "../one/job.toml", "--stage", "complete", "--list", "quick", "--reading", "ohms boost cut 4k3 at 400=+1"},
		`"job":"one","stage":"complete","list":"quick","reading":["ohms boost cut 4k3 at 400=+1"]`},
	{"ohms", []string{"ohms", "../one/job.toml", "--stage", "never"}, `"job":"one","stage":"never"`},
	{"probe", []string{"ohms", "job.toml", "--red", "boost", "--black", "cut", "--set", "63=+1", "--test-volts", "2.5V", "--test-ohms", "1k"},
		`"red":"boost","black":"cut","set":"63=+1","test_volts":"2.5V","test_ohms":"1k"`},
	{"probe", []string{"ohms", "job.toml", "--red", "nowhere"}, `"red":"nowhere"`},
	{"record", []string{"record", "../one/job.toml"}, `"job":"one"`},
	{"rebuild", []string{"check", "record.zip"}, `"file":"record.zip"`},
	// Of one band, for what may be wrong with it is asked a thousand ways.
	{"faults", []string{"faults", "../one/job.toml", "--reading", "volts out 23.9 V"}, `"job":"one","reading":["volts out 23.9 V"]`},
	{"faults", []string{"faults", "job.toml", "--made", "--suggest", "99"}, `"made":true,"suggest":99`},
	{"hum", []string{"hum", "job.toml", "--flat=-70", "--up=-45"}, `"flat":-70,"up":-45,"mains":50`},
	{"hum", []string{"hum", "job.toml", "--band", "64"}, `"band":"64","mains":50`},
	{"faults", []string{"faults", "../one/job.toml", "--reading", "smell out 1"}, `"job":"one","reading":["smell out 1"]`},
}

// What the command prints and what the page answers is the same, byte for
// byte, for every question of the table; long ones as the page asks them, as a
// stream.
func TestCommandAndPageAnswerAlike(t *testing.T) {
	folder := t.TempDir()
	if err := unpack(filepath.Join(folder, "bass-head")); err != nil {
		t.Fatal(err)
	}
	copied(t, filepath.Join(folder, "supply"), "feed.toml")
	copied(t, filepath.Join(folder, "wired"), "wired.toml")
	metalwork(t, filepath.Join(folder, "metal"))
	address := served(t, folder)
	t.Chdir(filepath.Join(folder, "bass-head"))
	for _, words := range [][]string{ // read below
		{"sweep", "make", "test.wav", "--rate", "44100", "--length", "2s", "--silence", "0.5s"},
		{"new", "../one/job.toml", "--bands", "400"},
		{"record", "../one/job.toml", "--out", "record.zip"},
	} {
		if code := run(door{ctx: t.Context(), in: strings.NewReader(""), out: io.Discard, err: os.Stderr}, words); code != exitDone {
			t.Fatalf("%v ends with %d", words, code)
		}
	}
	asked := map[string]bool{}
	for _, c := range everyQuestion {
		q, known := ask.Named(c.question)
		if !known {
			t.Errorf("%s is in no table", c.question)
			continue
		}
		asked[c.question] = true
		t.Run(strings.Join(c.words, " "), func(t *testing.T) {
			printed := printedJSON(t, c.words)
			if got := answeredBy(t, address, c, q.Long); got != printed {
				t.Errorf("the page answers\n%.2000s\nthe command prints\n%.2000s", got, printed)
			}
		})
	}
	for _, q := range ask.Table() {
		if !asked[q.Name] {
			t.Errorf("%s is not asked both ways", q.Name)
		}
	}
}

// copied makes a job of one of the demo's, which needs no files beside it.
func copied(t *testing.T, folder, name string) {
	t.Helper()
	text, err := fs.ReadFile(demo.BassHead(), name)
	if err == nil {
		err = os.Mkdir(folder, 0o777)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, "job.toml"), text, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// metalwork makes a job of the demo's metalwork, its curves beside it.
func metalwork(t *testing.T, folder string) {
	t.Helper()
	text, err := fs.ReadFile(demo.BassHead(), "metal.toml")
	if err == nil {
		err = unpack(folder)
	}
	if err == nil {
		err = os.WriteFile(filepath.Join(folder, "job.toml"), text, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func printedJSON(t *testing.T, words []string) string {
	t.Helper()
	var out, errors bytes.Buffer
	code := run(door{ctx: t.Context(), in: strings.NewReader(""), out: &out, err: &errors}, append(words, "--json"))
	if code == exitFault || out.Len() == 0 {
		t.Fatalf("ends with %d: %s", code, errors.String())
	}
	return out.String()
}

// served gives the address of a page on a folder.
func served(t *testing.T, folder string) string {
	t.Helper()
	kept, err := shop.Open(folder)
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	s := page.New(ctx, page.Options{Shop: kept, Version: version, Say: os.Stderr})
	l, err := s.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error)
	go func() { ended <- s.Serve(l) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
		if err := kept.Close(); err != nil {
			t.Error(err)
		}
	})
	return l.Address
}

// answeredBy asks the page, and takes the answer out of a stream.
func answeredBy(t *testing.T, address string, c bothWays, long bool) string {
	t.Helper()
	fields := `{"job":"bass-head"`
	if c.fields != "" {
		fields += "," + c.fields
	}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodPost, address+"api/ask/"+c.question, strings.NewReader(fields+"}"))
	if err != nil {
		t.Fatal(err)
	}
	if long {
		r.Header.Set("Accept", "text/event-stream")
	}
	response, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != http.StatusOK {
		t.Fatalf("%d, %v: %s", response.StatusCode, err, text)
	}
	if !long {
		return string(text)
	}
	_, last, found := strings.Cut(string(text), "event: answer\n")
	if !found {
		t.Fatalf("no answer in the stream: %s", text)
	}
	var lines []string
	for _, line := range strings.Split(strings.TrimSuffix(last, "\n\n"), "\n") {
		data, is := strings.CutPrefix(line, "data: ")
		if !is {
			t.Fatalf("%q is no data", line)
		}
		lines = append(lines, data)
	}
	return strings.Join(lines, "\n")
}
