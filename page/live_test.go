package page

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"runtime"
	"strings"
	"sync"
	"testing"
	"testing/synctest"
)

// pipes is a network without one: every dial is a pipe to the server.
type pipes struct {
	dialled chan net.Conn
	closed  chan struct{}
	once    sync.Once
}

func newPipes() *pipes { return &pipes{dialled: make(chan net.Conn), closed: make(chan struct{})} }

func (p *pipes) dial() net.Conn {
	mine, theirs := net.Pipe()
	p.dialled <- theirs
	return mine
}

func (p *pipes) Accept() (net.Conn, error) {
	select {
	case c := <-p.dialled:
		return c, nil
	case <-p.closed:
		return nil, net.ErrClosed
	}
}

func (p *pipes) Close() error {
	p.once.Do(func() { close(p.closed) })
	return nil
}

func (p *pipes) Addr() net.Addr { return &net.TCPAddr{IP: net.IPv4(127, 0, 0, 1), Port: 8484} }

// piped serves a folder over pipes, with a clock that does not make us wait.
func piped(t *testing.T, s *Server, stop context.CancelFunc) *pipes {
	t.Helper()
	p := newPipes()
	ended := make(chan error)
	l := &Listening{server: s.server(s.local()), on: p}
	go func() { ended <- s.Serve(l) }()
	t.Cleanup(func() {
		stop()
		if err := <-ended; err != nil {
			t.Error(err)
		}
	})
	return p
}

// typed sends text as it is, and gives the answer's status line; "" when there
// is none before the connection is closed.
func typed(t *testing.T, p *pipes, text string) string {
	t.Helper()
	c := p.dial()
	defer c.Close()                                // what was asked for has come
	go func() { _, _ = io.WriteString(c, text) }() // the server may have hung up
	line, err := bufio.NewReader(c).ReadString('\n')
	if err != nil && !errors.Is(err, io.EOF) {
		t.Fatal(err)
	}
	return strings.TrimSpace(line)
}

// Who sends slowly is told so in the end, and holds nothing up meanwhile.
func TestSlowRequests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(context.Background())
		folder := house(t)
		s := pageOf(t, folder, io.Discard)
		s.life = ctx
		p := piped(t, s, stop)
		const own = " HTTP/1.1\r\nHost: 127.0.0.1:8484\r\nConnection: close\r\n"
		slow := make(chan string)
		before := everything(t, folder)
		for _, text := range []string{
			"PUT /api/jobs/bass-head/files/new.csv" + own + "Content-Length: 100\r\n\r\n20,1\n",
			"PUT /api/jobs/bass-head/files/new.csv" + own + "Transfer-Encoding: chunked\r\n\r\n5\r\n20,1\n\r\n",
			"PUT /api/jobs/bass-head/recordings/new.wav" + own + "Content-Length: 100\r\n\r\nRIFF",
			"PUT /api/jobs/bass-head/recordings/new.wav" + own + "Transfer-Encoding: chunked\r\n\r\n4\r\nRIFF\r\n",
		} {
			go func() { slow <- typed(t, p, text) }()
			synctest.Wait()
			if got := typed(t, p, "GET /api/jobs"+own+"\r\n"); got != "HTTP/1.1 200 OK" {
				t.Errorf("while a body comes slowly, the list gives %q", got)
			}
			if got := <-slow; got != "HTTP/1.1 408 Request Timeout" {
				t.Errorf("a slow body gives %q", got)
			}
		}
		if got := typed(t, p, "GET /api/jobs HTTP/1.1\r\nHost: 127.0"); got != "" {
			t.Errorf("slow headers give %q", got)
		}
		same(t, before, everything(t, folder))
	})
}

// What is no HTTP, or has too much of it, is hung up on or refused.
func TestBrokenRequests(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		ctx, stop := context.WithCancel(context.Background())
		s := pageOf(t, t.TempDir(), io.Discard)
		s.life = ctx
		p := piped(t, s, stop)
		for _, c := range []struct{ name, text, want string }{
			{"no host", "GET /api/jobs HTTP/1.1\r\n\r\n", "HTTP/1.1 400 Bad Request"},
			{"two hosts", "GET /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:8484\r\nHost: evil\r\n\r\n", "HTTP/1.1 400 Bad Request"},
			{"no host, as it was long ago", "GET /api/jobs HTTP/1.0\r\n\r\n", "HTTP/1.0 421 Misdirected Request"},
			{"whole address of another", "GET http://evil.example/api/jobs HTTP/1.1\r\nHost: 127.0.0.1:8484\r\n\r\n", "HTTP/1.1 421 Misdirected Request"},
			{"way through to another", "CONNECT evil.example:443 HTTP/1.1\r\nHost: evil.example:443\r\n\r\n", "HTTP/1.1 421 Misdirected Request"},
			{"headers too long", "GET /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:8484\r\nX: " + strings.Repeat("x", 2*headerBytes) + "\r\n\r\n",
				"HTTP/1.1 431 Request Header Fields Too Large"},
			{"two lengths", "POST /api/edit HTTP/1.1\r\nHost: 127.0.0.1:8484\r\nContent-Length: 1\r\nContent-Length: 2\r\n\r\n{}", "HTTP/1.1 400 Bad Request"},
			{"no words at all", "\x16\x03\x01\x00\r\n\r\n", "HTTP/1.1 400 Bad Request"},
			{"afterwards it lives", "GET /api/jobs HTTP/1.1\r\nHost: 127.0.0.1:8484\r\n\r\n", "HTTP/1.1 200 OK"},
		} {
			if got := typed(t, p, c.text); !strings.HasPrefix(got, c.want) {
				t.Errorf("%s gives %q, want %q", c.name, got, c.want)
			}
		}
	})
}

// A request that panics answers 500, is told where the program was started,
// and the server lives.
func TestPanicIsOneRequestsFault(t *testing.T) {
	var said bytes.Buffer
	s := pageOf(t, house(t), &said)
	s.mux.HandleFunc("GET /api/broken", func(http.ResponseWriter, *http.Request) { panic("a mistake of ours") })
	s.mux.HandleFunc("GET /api/broken-late", func(w http.ResponseWriter, _ *http.Request) {
		fmt.Fprint(w, "half an answer")
		panic("a mistake of ours")
	})
	h := s.local()
	w := sent(h, request(http.MethodGet, "/api/broken", ""))
	if w.Code != 500 || !strings.Contains(w.Body.String(), string(IDFault)) || strings.Contains(w.Body.String(), "a mistake of ours") {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
	guarded(t, w)
	for _, word := range []string{"a mistake of ours", "report it", "live_test.go"} {
		if !strings.Contains(said.String(), word) {
			t.Errorf("%q is not said: %s", word, said.String())
		}
	}
	func() {
		defer func() {
			if fault := recover(); fault != http.ErrAbortHandler {
				t.Errorf("half an answer ends with %v, not with the connection", fault)
			}
		}()
		sent(h, request(http.MethodGet, "/api/broken-late", ""))
	}()
	if w := sent(h, request(http.MethodGet, "/api/jobs", "")); w.Code != 200 {
		t.Errorf("afterwards the list gives %d", w.Code)
	}
}

// listening serves a folder on this machine until stop.
func listening(t *testing.T, folder string) (l *Listening, stop func() error) {
	t.Helper()
	ctx, cancel := context.WithCancel(context.Background())
	s := pageOf(t, folder, io.Discard)
	s.life, s.cases.life = ctx, ctx
	l, err := s.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(l) }()
	t.Cleanup(cancel)
	return l, func() error { cancel(); return <-ended }
}

// at puts a question to a page on the network, for a stream of events.
func at(t *testing.T, l *Listening, question, body string) (events *bufio.Reader, hangUp func()) {
	t.Helper()
	r, err := http.NewRequest(http.MethodPost, l.Address+"api/ask/"+question, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	response, err := http.DefaultClient.Do(with(r, "Accept", "text/event-stream"))
	if err != nil {
		t.Fatal(err)
	}
	hangUp = func() { _ = response.Body.Close() } // also when it was cut off
	t.Cleanup(hangUp)
	if kind := response.Header.Get("Content-Type"); kind != "text/event-stream" {
		t.Fatalf("answered as %s", kind)
	}
	return bufio.NewReader(response.Body), hangUp
}

// next reads one event of a stream.
func next(t *testing.T, from *bufio.Reader) event {
	t.Helper()
	var e event
	for {
		line, err := from.ReadString('\n')
		if err != nil {
			t.Fatalf("the stream ends: %v", err)
		}
		switch name, text, _ := strings.Cut(strings.TrimSuffix(line, "\n"), ": "); name {
		case "event":
			e.name = text
		case "data":
			e.data += text
		case "":
			return e
		}
	}
}

// until reads events up to the first of these names.
func until(t *testing.T, from *bufio.Reader, names ...string) event {
	t.Helper()
	for {
		e := next(t, from)
		for _, name := range names {
			if e.name == name {
				return e
			}
		}
	}
}

// atWork counts the goroutines that are inside a room.
func atWork(room string) int {
	text := make([]byte, 1<<20)
	for {
		n := runtime.Stack(text, true)
		if n < len(text) {
			return strings.Count(string(text[:n]), "bandwright/"+room+".")
		}
		text = make([]byte, 2*len(text))
	}
}

// longWork is builds for many minutes.
const longWork = `{"job":"bass-head","count":1000000}`

// The server stops while long work runs: whoever waits gets an end, and when
// Serve is back nothing runs any more.
func TestStopWithRunningStream(t *testing.T) {
	l, stop := listening(t, house(t))
	events, _ := at(t, l, "spread", longWork)
	until(t, events, "progress")
	if atWork("spread") == 0 {
		t.Fatal("no work is seen: the test sees nothing")
	}
	last := make(chan event)
	go func() { last <- until(t, events, "answer", "problem") }()
	if err := stop(); err != nil {
		t.Error(err)
	}
	if n := atWork("spread"); n != 0 {
		t.Errorf("%d are still at work", n)
	}
	stopped(t, <-last)
	if _, err := http.Get(l.Address); err == nil {
		t.Error("it still answers")
	}
}

// stopped checks that an end tells of a stop: what there is with a note, or a
// problem; never as if all had been done.
func stopped(t *testing.T, e event) {
	t.Helper()
	if !strings.Contains(e.data, "stopped") {
		t.Errorf("ends as if nothing had happened: %s %.300s", e.name, e.data)
	}
}
