package page

import (
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"time"
)

// Listening is an address the page answers at.
type Listening struct {
	Address string   // to be opened, with the token if there is one
	Others  []string // the same by the machine's other addresses
	token   string
	server  *http.Server
	on      net.Listener
}

// Listen opens an address, "127.0.0.1:0" for this machine alone on any free
// port. Off this machine a token stands in the address.
func (s *Server) Listen(address string) (*Listening, error) {
	on, err := net.Listen("tcp", address)
	if err != nil {
		return nil, err
	}
	at, _ := on.Addr().(*net.TCPAddr)
	own := []string{at.IP.String()}
	l := &Listening{on: on}
	if at.IP.IsUnspecified() {
		if own, err = s.Addresses(); err == nil && len(own) == 0 {
			err = refusal(http.StatusServiceUnavailable, IDNoNetwork, nil)
		}
		if err != nil {
			return nil, errors.Join(err, on.Close())
		}
	}
	if !at.IP.IsLoopback() {
		l.token = rand.Text()
	}
	_, port, _ := net.SplitHostPort(on.Addr().String())
	for _, host := range own {
		address := "http://" + net.JoinHostPort(host, port) + "/"
		if l.token != "" {
			address += "?token=" + l.token
		}
		l.Others = append(l.Others, address)
	}
	l.Address, l.Others = l.Others[0], l.Others[1:]
	if at.IP.IsLoopback() {
		own = []string{"127.0.0.1", "::1", "localhost"}
	}
	l.server = s.server(s.handler(own, port, l.token))
	return l, nil
}

func (s *Server) server(h http.Handler) *http.Server {
	return &http.Server{Handler: h, ReadHeaderTimeout: headerTime, IdleTimeout: idleTime,
		MaxHeaderBytes: headerBytes, BaseContext: func(net.Listener) context.Context { return s.life }}
}

// handler is all that a door lets in.
func (s *Server) handler(own []string, port, token string) http.Handler {
	return s.guard(door{token: token, hosts: func(host string) bool {
		name, at, err := net.SplitHostPort(host)
		if err != nil {
			name, at = host, "80"
		}
		return at == port && slices.Contains(own, strings.ToLower(strings.Trim(name, "[]")))
	}}, s.mux)
}

// Serve answers until the server's life ends, and then lets what is under way
// come to its end, at the bench too.
func (s *Server) Serve(l *Listening) error {
	err := s.answerAt(l)
	s.bench.answering.Wait()
	return err
}

// answerAt answers at one address.
func (s *Server) answerAt(l *Listening) error {
	shut := make(chan error, 1)
	stop := context.AfterFunc(s.life, func() { shut <- l.shut() })
	err := l.server.Serve(l.on)
	if errors.Is(err, http.ErrServerClosed) {
		err = nil
	}
	if stop() { // the server lives on, and this address alone was closed
		return errors.Join(err, l.shut())
	}
	return errors.Join(err, <-shut)
}

// grace is how long answers under way may take once the server stops.
const grace = 3 * time.Second

func (l *Listening) shut() error {
	ctx, cancel := context.WithTimeout(context.Background(), grace)
	defer cancel()
	if err := l.server.Shutdown(ctx); err != nil {
		return l.server.Close()
	}
	return nil
}

// ownAddresses gives this machine's addresses that others may reach, those of
// a private network first.
func ownAddresses() ([]string, error) {
	all, err := net.InterfaceAddrs()
	if err != nil {
		return nil, err
	}
	var private, others []string
	for _, a := range all {
		of, ok := a.(*net.IPNet)
		switch {
		case !ok || !of.IP.IsGlobalUnicast():
		case of.IP.IsPrivate() && of.IP.To4() != nil:
			private = append(private, of.IP.String())
		default:
			others = append(others, of.IP.String())
		}
	}
	return append(private, others...), nil
}

// benchDoor is the one listener off this machine that a click opens.
type benchDoor struct {
	mu        sync.Mutex
	open      *Listening
	answering sync.WaitGroup
}

// Bench is how the page is reached at the bench.
type Bench struct {
	Listening bool     `json:"listening"`
	Address   string   `json:"address"` // with the token; "" when not listening
	Others    []string `json:"others"`
	Code      string   `json:"code"` // where the address is as a square code
}

func (s *Server) benchReply(w http.ResponseWriter, l *Listening) {
	b := Bench{Others: []string{}}
	if l != nil {
		b = Bench{Listening: true, Address: l.Address, Others: append(b.Others, l.Others...), Code: "api/listen/code.svg"}
	}
	text, err := json.Marshal(b)
	if err != nil {
		panic(err)
	}
	sendJSON(w, text)
}

// listen opens the page to the bench, on every address of this machine, with
// a token.
func (s *Server) listen(w http.ResponseWriter, _ *http.Request) {
	s.bench.mu.Lock()
	defer s.bench.mu.Unlock()
	if s.bench.open == nil {
		l, err := s.Listen(":0")
		if err != nil {
			refuse(w, problem("the bench", err))
			return
		}
		s.bench.open = l
		s.bench.answering.Go(func() { _ = s.answerAt(l) }) // it ends when stopped, and nobody asks why
	}
	s.benchReply(w, s.bench.open)
}

func (s *Server) listening(w http.ResponseWriter, _ *http.Request) {
	s.bench.mu.Lock()
	defer s.bench.mu.Unlock()
	s.benchReply(w, s.bench.open)
}

// stopListening closes the page to the bench again; the token is worth nothing
// from then on.
func (s *Server) stopListening(w http.ResponseWriter, _ *http.Request) {
	s.bench.mu.Lock()
	l := s.bench.open
	s.bench.open = nil
	s.bench.mu.Unlock()
	if l != nil {
		_ = l.server.Close()
	}
	s.benchReply(w, nil)
}
