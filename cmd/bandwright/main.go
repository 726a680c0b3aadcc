// Command bandwright predicts, checks and records a passive-leg equaliser
// fitted to an amplifier, from a job file and measured curves.
//
// It is a door of the house: it reads files, asks room bench, has room report
// word what comes back, and writes files. One file a verb. Every verb but
// serve takes --json and then prints one object with "answer" and "findings".
//
// It ends with 0 when done; 1 when a judging verb (check, compare, drawer,
// feed, volts) found something to look at; 2 for wrong input; 3 for a fault of its own; 130 when
// stopped.
package main

import (
	"context"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"

	"github.com/alecthomas/kong"
)

// version is set by the linker for a release.
var version = "development"

// Exit codes.
const (
	exitDone    = 0
	exitLook    = 1
	exitInput   = 2
	exitFault   = 3
	exitStopped = 130
)

// door is what a verb works with: where it reads and prints, and what stops it.
type door struct {
	ctx      context.Context
	in       io.Reader
	out, err io.Writer
	terminal bool // a person sits at in
	watched  bool // and looks at err
}

// cli is the whole usage.
type cli struct {
	Version   kong.VersionFlag `help:"Print the version and stop."`
	Demo      demoVerb         `cmd:"" help:"Write the invented demo job and its job sheet to a folder."`
	New       newVerb          `cmd:"" help:"Ask a dozen questions and write a job file that already computes."`
	Check     checkVerb        `cmd:"" help:"Judge a job file, its circuit and its curve files."`
	Bands     bandsVerb        `cmd:"" help:"The band table: centre, boost, cut, width, scale and headroom."`
	Predict   predictVerb      `cmd:"" help:"The response at any setting, or the volts of every point."`
	Sweep     sweepVerb        `cmd:"" help:"Test recordings, and curves out of what came back."`
	Compare   compareVerb      `cmd:"" help:"Measured curves beside the prediction."`
	Fit       fitVerb          `cmd:"" help:"Part values from measured curves."`
	Explain   explainVerb      `cmd:"" help:"Why a unit is not as predicted: every difference shared out among the parts."`
	Noise     noiseVerb        `cmd:"" help:"Output noise and the parts it comes from."`
	Tab       tabVerb          `cmd:"" help:"The flat pattern of the tab that holds a slider, against the slots."`
	Panel     panelVerb        `cmd:"" help:"The panel's template, its dB scales and lettering, and what stands behind."`
	Drill     drillVerb        `cmd:"" help:"What to drill into the panel, with which bit, in which order."`
	Sheet     sheetVerb        `cmd:"" help:"The job sheet as HTML and PDF."`
	Record    recordVerb       `cmd:"" help:"The record that goes with the amplifier, as one package."`
	Spread    spreadVerb       `cmd:"" help:"How far every band spreads with its parts, over many virtual builds."`
	Feed      feedVerb         `cmd:"" help:"What the supply does to every part, dropper and zener among them."`
	Drawer    drawerVerb       `cmd:"" help:"The parts at hand, read from a spreadsheet."`
	Volts     voltsVerb        `cmd:"" help:"First power-up: the volts of every point, stage by stage, and what was read."`
	Runs      runsVerb         `cmd:"" help:"The runs of the harness, what to cut and remove, and what the wiring does."`
	Ohms      ohmsVerb         `cmd:"" help:"The list by which the wiring is rung out, what becomes of the readings, or one probe."`
	Faults    faultsVerb       `cmd:"" help:"What may be wrong, ranked by what was read, and what to read next."`
	Hum       humVerb          `cmd:"" help:"By which way hum comes in, from four takes."`
	Choose    chooseVerb       `cmd:"" help:"Parts from the drawer for every band of one board."`
	Trim      trimVerb         `cmd:"" help:"The fewest changes that bring a made board within limits."`
	Design    designVerb       `cmd:"" help:"Values of the parts for wanted bands."`
	Preferred preferredVerb    `cmd:"" help:"The preferred values round a value."`
	Serve     serveVerb        `cmd:"" help:"The jobs of a folder in the browser."`
	Licences  licencesVerb     `cmd:"" help:"The licences of what this program is made of."`
}

const about = `Predicts, checks and records an equaliser of coils, capacitors and sliders
fitted to an amplifier: ohms, volts and curves from one job file.

Exit codes: 0 done; 1 something to look at (check, compare, drawer, feed,
volts); 2 wrong input; 3 a fault of the program, files untouched; 130 stopped.

High voltages kill. What is printed is calculated, not proof of safety.`

func main() { os.Exit(program()) }

// program runs the command line of this process.
func program() int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	// After the first signal the second ends the process at once.
	context.AfterFunc(ctx, stop)
	return run(door{ctx: ctx, in: os.Stdin, out: os.Stdout, err: os.Stderr,
		terminal: isTerminal(os.Stdin), watched: isTerminal(os.Stderr)}, os.Args[1:])
}

func isTerminal(f *os.File) bool {
	info, err := f.Stat()
	if err != nil || info.Mode()&os.ModeCharDevice == 0 {
		return false
	}
	nobody, err := os.Stat(os.DevNull) // a device too
	return err != nil || !os.SameFile(info, nobody)
}

// stopped carries an exit code out of the command-line library, which wants
// to end the process itself after printing help or the version.
type stopped struct{ code int }

// run does one command line and gives the exit code. It is the one place
// where a panic becomes a message.
func run(d door, args []string) (code int) {
	defer func() {
		switch fault := recover().(type) {
		case nil:
		case stopped:
			code = fault.code
		default:
			fmt.Fprintf(d.err, "fault: %v\n  hint: this is a mistake in bandwright %s, not in the job; no file was changed. Please report it with the lines below.\n%s",
				fault, version, debug.Stack())
			code = exitFault
		}
	}()
	var c cli
	parser, err := kong.New(&c, kong.Name("bandwright"), kong.Description(about),
		kong.Vars{"version": "bandwright " + version}, kong.Writers(d.out, d.err),
		kong.WithHyphenPrefixedParameters(true), kong.ConfigureHelp(kong.HelpOptions{Compact: true}),
		kong.Exit(func(code int) { panic(stopped{code}) }))
	if err != nil {
		panic(err)
	}
	if len(args) == 0 {
		args = []string{"--help"}
	}
	verb, err := parser.Parse(args)
	if err != nil {
		return usageError(d, err)
	}
	return d.end(verb.Run(d))
}

// usageError reports a command line that could not be read.
func usageError(d door, err error) int {
	hint := "bandwright --help"
	if parse, ok := err.(*kong.ParseError); ok && parse.Context != nil && parse.Context.Selected() != nil {
		hint = "bandwright " + parse.Context.Selected().Name + " --help shows an example"
	}
	fmt.Fprintf(d.err, "error: %v\n  hint: %s\n", err, hint)
	return exitInput
}
