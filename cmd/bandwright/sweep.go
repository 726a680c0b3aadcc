package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strconv"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/quantity"
)

// sweepVerb writes test recordings and reads curves out of what came back.
type sweepVerb struct {
	Takes sweepTakesVerb `cmd:"" help:"What to record of a job: settings, level, and how to wire."`
	Make  sweepMakeVerb  `cmd:"" help:"Write a test recording."`
	Read  sweepReadVerb  `cmd:"" help:"Read curves out of what was recorded."`
}

// Help shows an example.
func (sweepVerb) Help() string {
	return `A sine that rises through the band is played through the amplifier and recorded;
what came back is read into curves that any other verb takes. Begin with a
closed-box take: docs/sweep.md tells how to wire it. Each of the three takes
--json and has its own --help.

Examples:
  bandwright sweep takes job.toml
  bandwright sweep make test.wav --set flat --set lift
  bandwright sweep --help`
}

// signalFlags describe a test recording.
type signalFlags struct {
	Rate     int      `help:"Frames a second, 44100 to 192000; player and recorder must run at it." default:"96000" placeholder:"HZ"`
	Bits     string   `help:"16, 24 or float." default:"24" placeholder:"BITS"`
	Channels int      `help:"1, or 2 alike: one for the amp, one for the loopback." default:"2" placeholder:"N"`
	Start    string   `help:"Where the sweep begins." default:"10Hz" placeholder:"HZ"`
	Stop     string   `help:"Where it ends; as high as the rate allows, at most 22 kHz, when left out." placeholder:"HZ"`
	Length   string   `help:"Of one sweep." default:"10s" placeholder:"TIME"`
	Level    float64  `help:"Of its peak, in dB of full scale." default:"-6" placeholder:"DBFS"`
	Full     *float64 `help:"What a sine that peaks at full scale measures at the generator, in dBu." placeholder:"DBU"`
	FadeIn   string   `help:"At its start." default:"0.2s" placeholder:"TIME"`
	FadeOut  string   `help:"At its end." default:"20ms" placeholder:"TIME"`
	Silence  string   `help:"Before the sweep, where the noise is read." default:"1s" placeholder:"TIME"`
	Pause    string   `help:"Between takes, to move the sliders." default:"15s" placeholder:"TIME"`
}

func (f signalFlags) words() bench.SignalWords {
	return bench.SignalWords{Rate: f.Rate, Bits: f.Bits, Channels: f.Channels, Start: f.Start, Stop: f.Stop, Length: f.Length,
		DBFS: f.Level, FullDBu: f.Full, FadeIn: f.FadeIn, FadeOut: f.FadeOut, Silence: f.Silence, Pause: f.Pause}
}

// sweepMakeVerb writes a test recording.
type sweepMakeVerb struct {
	form
	signalFlags
	File  string   `arg:"" optional:"" help:"The recording to write; with --json it may be left out." placeholder:"WAV"`
	Set   []string `help:"A setting, once for each take in order; flat alone when left out." sep:"none" placeholder:"SETTING"`
	Force bool     `help:"Replace the file if it exists."`
}

// Help shows an example.
func (sweepMakeVerb) Help() string {
	return `Writes a WAV file with a sweep for each setting, every one between two short
chirps by which it is found again. The file says what it is, so reading needs it
beside the recording. Full scale into dBu: play it at a low level into a meter
and give --full what 0 dBFS would be.

Examples:
  bandwright sweep make test.wav
  bandwright sweep make test.wav --set flat --set 63=+1 --set lift --rate 48000 --full 12`
}

// Run answers the verb.
func (v sweepMakeVerb) Run(d door) error {
	if v.File == "" && !v.JSON {
		return refusal(IDNoFile, nil)
	}
	answer, found, err := ask.Signal{SignalWords: v.words(), Set: v.Set}.Ask(d.ctx, ask.From{})
	if err == nil {
		err = writeSignal(d, answer, v.File, v.Force)
	}
	return v.give(d, answer, found, err, func() error { return printSignal(d, answer) })
}

// IDNoFile: no file to write a recording to. No args.
const IDNoFile finding.ID = "cmd.no-recording-file"

// writeSignal writes the recording; "" writes none.
func writeSignal(d door, a *bench.SignalAnswer, path string, force bool, inputs ...string) error {
	if path == "" {
		return nil
	}
	if err := d.saveLong(path, a.Write, force, inputs...); err != nil {
		return err
	}
	a.Written = append(a.Written, path)
	return nil
}

func printSignal(d door, a *bench.SignalAnswer) error {
	s := a.Signal
	fmt.Fprintf(d.out, "%s to %s in %s at %s of full scale%s, %d Hz, %s, %s\n\n", hertz(s.StartHz), hertz(s.StopHz),
		quantity.Seconds(s.Seconds).Display(3), decibels(s.LevelDBFS), dbu(s.LevelDBFS, s.FullDBu), s.Rate, depth(s.Bits, s.Float), channels(s.Channels))
	if err := printTimes(d, a.Takes); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%s long, %.1f MB\n", clock(a.Seconds), float64(a.Bytes)/1e6)
	for _, name := range a.Written {
		fmt.Fprintln(d.out, "written:", name)
	}
	return nil
}

func printTimes(d door, takes []bench.SignalTake) error {
	t := names(d.out, "take", "ready by", "sweep from", "until", "setting")
	for _, one := range takes {
		t.row(strconv.Itoa(one.Number), clock(one.Mark), clock(one.Sweep), clock(one.End), one.Setting)
	}
	return t.flush()
}

func dbu(dbfs float64, full *float64) string {
	if full == nil {
		return ""
	}
	return " (" + fixed(dbfs+*full, 1) + " dBu)"
}

func depth(bits int, float bool) string {
	if float {
		return strconv.Itoa(bits) + "-bit float"
	}
	return strconv.Itoa(bits) + " bits"
}

func channels(n int) string {
	if n == 1 {
		return "one channel"
	}
	return strconv.Itoa(n) + " channels"
}

// clock writes a moment of a recording as minutes and seconds.
func clock(seconds float64) string {
	tenths := int(seconds*10 + 0.5)
	return fmt.Sprintf("%d:%02d.%d", tenths/600, tenths/10%60, tenths%10)
}

// sweepTakesVerb says what to record of a job.
type sweepTakesVerb struct {
	jobArg
	signalFlags
	Write string `help:"Write the test recording that guides through the takes." placeholder:"WAV"`
	Force bool   `help:"Replace that file if it exists."`
}

// Help shows an example.
func (sweepTakesVerb) Help() string {
	return `Lists the settings that show the equaliser whole, in the order of least work, each
with the level that its circuit passes 6 dB below clipping, and which take is
taken off it. The closed-box take comes first; how to wire it stands above the
list. --write makes one recording with a sweep for each, and a pause before it.

Examples:
  bandwright sweep takes job.toml
  bandwright sweep takes job.toml --write test.wav --pause 20s`
}

// Run answers the verb.
func (v sweepTakesVerb) Run(d door) error {
	answer, found, err := ask.Takes{SignalWords: v.words()}.Ask(d.ctx, v.from(d))
	if err == nil {
		err = writeSignal(d, answer.Recording, v.Write, v.Force, v.Job)
	}
	return v.give(d, answer, found, err, func() error { return printTakes(d, answer) })
}

func printTakes(d door, a *ask.TakesAnswer) error {
	for _, part := range a.Guide {
		fmt.Fprintln(d.out, part.Heading)
		for i, line := range part.Lines {
			fmt.Fprintf(d.out, "  %d. %s\n", i+1, line)
		}
		fmt.Fprintln(d.out)
	}
	t := names(d.out, "take", "ready by", "setting", "name", "at most", "less the take")
	for i, one := range a.Takes {
		t.row(strconv.Itoa(i+1), clock(a.Recording.Takes[i].Mark), one.Setting, one.Name,
			maybe(one.MostDBu, func(x float64) string { return fixed(x, 1) + " dBu" }, "no limit known"), one.Less)
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintf(d.out, "\n%s in all\n", clock(a.Recording.Seconds))
	for _, name := range a.Recording.Written {
		fmt.Fprintln(d.out, "written:", name)
	}
	return nil
}

// sweepReadVerb reads curves out of recordings.
type sweepReadVerb struct {
	form
	Files           []string `arg:"" name:"recording" help:"What was recorded, one file or several." placeholder:"WAV"`
	Played          string   `help:"The test recording that was played." placeholder:"WAV"`
	Set             []string `help:"The setting of each file, where one sweep was played again and again." sep:"none" placeholder:"SETTING"`
	Channel         int      `help:"The amp's channel." default:"1" placeholder:"N"`
	Reference       int      `help:"The loopback's channel in the same recording; 0: none." default:"0" placeholder:"N"`
	Loopback        string   `help:"A stored take of the interface alone." placeholder:"WAV"`
	LoopbackChannel int      `help:"The channel of it." default:"1" placeholder:"N"`
	Generator       string   `help:"Ohms that the amp was fed through: the interface's and the pad's." placeholder:"OHMS"`
	Source          string   `help:"Ohms of the point that was recorded, to correct its loading." placeholder:"OHMS"`
	Top             string   `help:"Upper ohms of a divider behind it." placeholder:"OHMS"`
	Bottom          string   `help:"Lower ohms of the divider." placeholder:"OHMS"`
	Input           string   `help:"Ohms of the interface's input." placeholder:"OHMS"`
	Capacitance     string   `name:"input-capacitance" help:"Of input and cable." placeholder:"FARADS"`
	LoopbackInput   string   `help:"Ohms of the loopback's input, which the generator feeds." placeholder:"OHMS"`
	Mains           string   `help:"The mains, where it is neither 50 nor 60 Hz." placeholder:"HZ"`
	KeepDrift       bool     `help:"Leave the difference of the two clocks in."`
	Less            string   `help:"Take one take off others: \"engaged less lifted\" or \"lifted less bypassed\"." placeholder:"WHICH"`
	Out             string   `help:"Write a curve file for each take, or each difference, into this folder." placeholder:"FOLDER"`
	Force           bool     `help:"Replace files that exist."`
}

// Help shows an example.
func (sweepReadVerb) Help() string {
	return `Finds every take by its chirps, wherever it lies in the recording, and reads
gain, phase, noise, hum, harmonics 2 to 5 and THD. The loopback is a second
channel of the recording or a stored take. A take that is clipped, cut short, at
another rate, swapped or short of samples is refused with its place, and leaves
the others. The curve files say how they were taken; compare and [[curve]] of a
job take them as they are.

Examples:
  bandwright sweep read bench.wav --played test.wav --reference 2 --generator 600ohm --out curves
  bandwright sweep read bench.wav --played test.wav --reference 2 --generator 600ohm --less "engaged less lifted" --out curves
  bandwright sweep read box.wav --played test.wav --loopback loop.wav --generator 600ohm --top 9k --bottom 1k --input 10k`
}

// Run answers the verb.
func (v sweepReadVerb) Run(d door) error {
	from := ask.From{Recording: openRecording}
	progress, end := d.steps("hundredths")
	from.Progress = progress
	answer, found, err := ask.Recording{Files: v.Files, Set: v.Set, Played: v.Played, Channel: v.Channel, Reference: v.Reference,
		Loopback: v.Loopback, LoopbackChannel: v.LoopbackChannel, Generator: v.Generator, Source: v.Source, Top: v.Top,
		Bottom: v.Bottom, Input: v.Input, Capacitance: v.Capacitance, LoopbackInput: v.LoopbackInput, Mains: v.Mains,
		KeepDrift: v.KeepDrift, Less: v.Less}.Ask(d.ctx, from)
	end()
	if err == nil && v.Out != "" {
		err = v.write(d, answer)
	}
	return v.give(d, answer, found, err, func() error { return printRecording(d, answer) })
}

// write keeps takes, or differences where those were asked for, as curves.
func (v sweepReadVerb) write(d door, a *bench.RecordingAnswer) error {
	takes := a.Takes
	if v.Less != "" {
		takes = a.Differences
	}
	var outputs []output
	for i, t := range takes {
		var text bytes.Buffer
		if err := curve.Write(&text, t.Curve()); err != nil {
			return err
		}
		outputs = append(outputs, output{filepath.Join(v.Out, t.FileName(i+1)), text.Bytes()})
	}
	inputs := append([]string{v.Played}, v.Files...)
	if err := d.save(outputs, v.Force, append(inputs, v.Loopback)...); err != nil {
		return err
	}
	a.Written = paths(outputs)
	return nil
}

func printRecording(d door, a *bench.RecordingAnswer) error {
	for _, r := range a.Recordings {
		fmt.Fprintf(d.out, "%s: %s, %d Hz, %s, %s\n", r.File, clock(r.Seconds), r.Rate, depth(r.Valid, r.Float), channels(r.Channels))
	}
	fmt.Fprintln(d.out)
	t := names(d.out, "setting", "at", "clocks", "peak", "hiss", "mains", "2 × mains", "1 kHz", "THD there", "over noise", "recording")
	for _, one := range a.Takes {
		gain, over, thd := at1k(one)
		t.row(one.Setting.String(), clock(one.Seconds), maybe(one.DriftPPM, func(x float64) string { return signed(x, 2) + " ppm" }, none),
			maybe(one.PeakDBFS, dbfs, none), dbfs(one.Silence.Hiss), line(one.Silence.Mains), line(one.Silence.TwiceMains),
			decibels(gain), maybe(thd, func(x float64) string { return fixed(x, 3) + " %" }, none), decibels(over), one.Origin.File)
	}
	if err := t.flush(); err != nil {
		return err
	}
	if len(a.Differences) > 0 {
		fmt.Fprintln(d.out)
		t = names(d.out, "difference", "least", "at", "most", "at")
		for _, one := range a.Differences {
			m := one.Curve().Measure()
			t.row(one.Name, decibels(m.Lowest), hertz(m.LowestHz), decibels(m.Highest), hertz(m.HighHz))
		}
		if err := t.flush(); err != nil {
			return err
		}
	}
	for _, name := range a.Written {
		fmt.Fprintln(d.out, "written:", name)
	}
	return nil
}

// dbfs writes a level; what only a file without any noise has is none.
func dbfs(x float64) string {
	if x < -200 {
		return none
	}
	return fixed(x, 1) + " dBFS"
}

// line writes a tone in the silence.
func line(l *bench.HumLine) string {
	if l == nil {
		return none
	}
	return dbfs(l.DBFS) + " at " + hertz(l.Hz)
}

// at1k gives a take's gain at 1 kHz, how far that stands over the noise, and
// its distortion; all results have a point there.
func at1k(t bench.TakeRead) (gain, over float64, thd *float64) {
	const hz = 1000.0
	for i, f := range t.Hz {
		if f >= hz*0.999 {
			gain, over = t.DB[i], t.SNR(i)
			break
		}
	}
	if t.THD == nil {
		return gain, over, nil
	}
	for i, f := range t.THD.Hz {
		if f >= hz*0.999 {
			return gain, over, &t.THD.Percent[i]
		}
	}
	return gain, over, nil
}
