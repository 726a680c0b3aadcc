package main

import (
	"errors"
	"fmt"
	"net"
	"strconv"

	"bandwright/finding"
	"bandwright/page"
	"bandwright/shop"
)

// serveVerb opens the page.
type serveVerb struct {
	Folder string `arg:"" optional:"" default:"." help:"The folder of jobs; made if it is not there." placeholder:"FOLDER"`
	Port   int    `help:"Port to listen on; 0: any that is free." default:"0" placeholder:"N"`
	Listen string `help:"Address to listen on. Off this machine the page asks for the token that is printed." default:"127.0.0.1" placeholder:"ADDRESS"`
}

// What keeps the page from being served; all are errors.
const (
	// IDNoListen: address, reason.
	IDNoListen finding.ID = "cmd.no-listen"
)

// Help shows an example.
func (serveVerb) Help() string {
	return `Opens the jobs of a folder in the browser: each a folder with a job.toml in it,
or a file NAME.toml. Prints the address to open and answers there until stopped
with Ctrl-C; --port keeps the address the same from day to day. It listens on
this machine alone; a tablet at the bench is let in from the page, by Show at
the bench.

Example:
  bandwright serve jobs`
}

// Run serves until stopped.
func (v serveVerb) Run(d door) error {
	folder, err := shop.Open(v.Folder)
	if err != nil {
		return unreadable(v.Folder, err)
	}
	s := page.New(d.ctx, page.Options{Shop: folder, Version: version, Say: d.err})
	address := v.address()
	l, err := s.Listen(address)
	if err != nil {
		if _, known := finding.From(err); !known {
			err = refusal(IDNoListen, finding.Args{"address": address, "reason": shop.Reason(err)})
		}
		return errors.Join(err, folder.Close())
	}
	fmt.Fprintf(d.out, "the page is at %s (Ctrl-C stops it)\n", l.Address)
	for _, other := range l.Others {
		fmt.Fprintln(d.out, "and at", other)
	}
	if !s.Built() {
		fmt.Fprintln(d.err, "the page itself was not built into this program: make page, then go build ./cmd/bandwright")
	}
	return errors.Join(s.Serve(l), folder.Close())
}

// address joins address and port; an address that has a port keeps it.
func (v serveVerb) address() string {
	if host, port, err := net.SplitHostPort(v.Listen); err == nil {
		if v.Port != 0 {
			port = strconv.Itoa(v.Port)
		}
		return net.JoinHostPort(host, port)
	}
	return net.JoinHostPort(v.Listen, strconv.Itoa(v.Port))
}
