package main

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"regexp"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// told hands on what is printed, and tells the address once it is there.
type told struct {
	io.Writer
	address func(string)
}

var printedAddress = regexp.MustCompile(`http://\S+`)

func (w told) Write(text []byte) (int, error) {
	if found := printedAddress.FindString(string(text)); found != "" {
		w.address(found)
	}
	return w.Writer.Write(text)
}

// serves FOLDER WORD… serves a folder until the list of its jobs was read,
// which must hold the words.
func serves(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 {
		ts.Fatalf("usage: serves FOLDER WORD…")
	}
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	list := make(chan string, 1)
	read := func(address string) {
		go func() {
			defer stop()
			list <- body(address + "api/jobs")
		}()
	}
	var errors bytes.Buffer
	code := run(door{ctx: ctx, in: strings.NewReader(""), out: told{io.Discard, read}, err: &errors},
		[]string{"serve", ts.MkAbs(args[0])})
	if code != exitDone {
		ts.Fatalf("serve ends with %d: %s", code, errors.String())
	}
	text := <-list
	for _, word := range args[1:] {
		if !strings.Contains(text, word) {
			ts.Fatalf("the list lacks %q: %s", word, text)
		}
	}
}

// body reads what is at an address, or says why not.
func body(address string) string {
	response, err := http.Get(address)
	if err != nil {
		return err.Error()
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		return err.Error()
	}
	return string(text)
}

func TestServeJoinsAddressAndPort(t *testing.T) {
	for _, c := range []struct {
		listen string
		port   int
		want   string
	}{
		{"127.0.0.1", 0, "127.0.0.1:0"}, {"127.0.0.1", 8484, "127.0.0.1:8484"}, {"127.0.0.1:80", 0, "127.0.0.1:80"},
		{"127.0.0.1:80", 81, "127.0.0.1:81"}, {"::1", 5, "[::1]:5"}, {"", 5, ":5"},
	} {
		if got := (serveVerb{Listen: c.listen, Port: c.port}).address(); got != c.want {
			t.Errorf("%q and %d give %s, want %s", c.listen, c.port, got, c.want)
		}
	}
}
