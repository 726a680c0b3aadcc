package page

import (
	"bytes"
	"crypto/subtle"
	"errors"
	"fmt"
	"io"
	"mime"
	"net"
	"net/http"
	"runtime/debug"
	"strings"
	"time"

	"bandwright/finding"
	"bandwright/shop"
)

// Limits of one request.
const (
	mostBody     = 6 << 20                       // a job's text in JSON
	mostFileBody = shop.MostFileBytes            // a file as it is
	mostPackBody = shop.MostFileBytes/3*4 + 4096 // a file in base 64, or a drawer's text, in JSON
	bodyTime     = 20 * time.Second              // to send it all; of a recording, each piece
	writeTime    = 30 * time.Second              // to take each piece of the answer
	headerTime   = 5 * time.Second
	idleTime     = 2 * time.Minute
	headerBytes  = 32 << 10
)

// policy hides nothing of the page's own, and lets nothing in from elsewhere.
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; " +
	"connect-src 'self'; frame-src 'self'; form-action 'none'; base-uri 'none'; frame-ancestors 'none'"

// door is one address the server answers at.
type door struct {
	hosts func(host string) bool // whether a Host header is its own
	token string                 // what who enters must bring; "": nothing
}

// guard lets a request through that may enter by this door.
func (s *Server) guard(d door, inner http.Handler) http.Handler {
	cross := http.NewCrossOriginProtection()
	return http.HandlerFunc(func(plain http.ResponseWriter, r *http.Request) {
		w := &timed{ResponseWriter: plain}
		defer s.caught(w)
		headers(w.Header(), r)
		switch {
		case !d.hosts(r.Host):
			refuse(w, refusal(http.StatusMisdirectedRequest, IDElsewhere, finding.Args{"what": "Host"}))
		case !ownOrigin(r), cross.Check(r) != nil:
			refuse(w, refusal(http.StatusForbidden, IDElsewhere, finding.Args{"what": "Origin"}))
		case d.token != "" && strings.HasPrefix(r.URL.Path, "/api/listen"):
			// Who may come in is for whoever sits at this machine to say.
			refuse(w, refusal(http.StatusForbidden, IDElsewhere, finding.Args{"what": "address"}))
		case d.token != "" && !s.known(w, r, d.token):
		case s.streamed(r): // bounded where it is read
			inner.ServeHTTP(w, r)
		case !ownKind(r):
			refuse(w, refusal(http.StatusUnsupportedMediaType, IDRequest, finding.Args{"reason": "it is no JSON"}))
		default:
			if buffered(w, r) {
				inner.ServeHTTP(w, r)
			}
		}
	})
}

// caught makes a panic the fault of this request alone.
func (s *Server) caught(w *timed) {
	fault := recover()
	if fault == nil {
		return
	}
	if fault == http.ErrAbortHandler {
		panic(fault)
	}
	s.sayFault(fault)
	if w.begun {
		panic(http.ErrAbortHandler) // half an answer is none
	}
	refuse(w, refusal(http.StatusInternalServerError, IDFault, nil))
}

// sayFault tells where bandwright was started what went wrong.
func (s *Server) sayFault(fault any) {
	s.saying.Lock()
	defer s.saying.Unlock()
	fmt.Fprintf(s.Say, "fault: %v\n  hint: this is a mistake in bandwright %s, not in a job. Please report it with the lines below.\n%s",
		fault, s.Version, debug.Stack())
}

func headers(h http.Header, r *http.Request) {
	h.Set("Content-Security-Policy", policy)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Referrer-Policy", "no-referrer")
	h.Set("Cross-Origin-Opener-Policy", "same-origin")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	h.Set("Permissions-Policy", "camera=(), geolocation=(), microphone=()")
	if strings.HasPrefix(r.URL.Path, "/api/") {
		h.Set("Cache-Control", "no-store")
	}
}

// ownOrigin refuses what another page asks for, reads as well as writes. A
// link from elsewhere to the page itself is let through.
func ownOrigin(r *http.Request) bool {
	if origin := r.Header.Get("Origin"); origin != "" && origin != "http://"+r.Host {
		return false
	}
	switch r.Header.Get("Sec-Fetch-Site") {
	case "", "same-origin", "none":
		return true
	}
	return r.Method == http.MethodGet && r.URL.Path == "/" && r.Header.Get("Sec-Fetch-Mode") == "navigate"
}

// ownKind refuses a body that the page does not send: a form of another page is
// no JSON. Files come as they are.
func ownKind(r *http.Request) bool {
	said := r.Header.Get("Content-Type")
	if said == "" || r.ContentLength == 0 || strings.Contains(r.URL.Path, "/files/") {
		return true
	}
	kind, _, err := mime.ParseMediaType(said)
	return err == nil && kind == "application/json"
}

// tokenCookie holds the token once it was brought in the address.
const tokenCookie = "bandwright"

// known tells whether the request brings the token, and answers it when not.
// Brought in the address, the token moves to a cookie, so that it stands in
// no link on the page.
func (s *Server) known(w http.ResponseWriter, r *http.Request, token string) bool {
	same := func(brought string) bool { return subtle.ConstantTimeCompare([]byte(brought), []byte(token)) == 1 }
	if cookie, err := r.Cookie(tokenCookie); err == nil && same(cookie.Value) {
		return true
	}
	if r.Method == http.MethodGet && r.URL.Path == "/" && same(r.URL.Query().Get("token")) {
		http.SetCookie(w, &http.Cookie{Name: tokenCookie, Value: token, Path: "/", HttpOnly: true, SameSite: http.SameSiteLaxMode})
		http.Redirect(w, r, "/", http.StatusSeeOther)
		return false
	}
	refuse(w, refusal(http.StatusUnauthorized, IDToken, nil))
	return false
}

// mostOf is how long a request's body may be.
func mostOf(r *http.Request) int64 {
	switch {
	case strings.Contains(r.URL.Path, "/files/"):
		return mostFileBody
	case r.URL.Path == "/api/curve/understand", r.URL.Path == "/api/ask/drawer":
		return mostPackBody
	}
	return mostBody
}

// buffered reads the whole body before anything is done with it, so that who
// sends slowly holds nothing up but this.
func buffered(w http.ResponseWriter, r *http.Request) bool {
	if r.Body == nil || r.ContentLength == 0 {
		return true
	}
	most := mostOf(r)
	if r.ContentLength > most {
		refuse(w, refusal(http.StatusRequestEntityTooLarge, IDTooBig, finding.Args{"most": most}))
		return false
	}
	control := http.NewResponseController(w)
	// Where there is no connection below, nothing is slow.
	_ = control.SetReadDeadline(time.Now().Add(bodyTime))
	body, err := io.ReadAll(http.MaxBytesReader(w, r.Body, most))
	_ = control.SetReadDeadline(time.Time{})
	if err != nil {
		refuse(w, unread(err, most))
		return false
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	return true
}

// unread says why a body could not be read.
func unread(err error, most int64) *Problem {
	var long *http.MaxBytesError
	var slow net.Error
	switch {
	case errors.As(err, &long):
		return refusal(http.StatusRequestEntityTooLarge, IDTooBig, finding.Args{"most": most})
	case errors.As(err, &slow) && slow.Timeout():
		return refusal(http.StatusRequestTimeout, IDRequest, finding.Args{"reason": "it came too slowly"})
	}
	return refusal(http.StatusBadRequest, IDRequest, finding.Args{"reason": err.Error()})
}

// timed gives who takes the answer so long for each piece of it.
type timed struct {
	http.ResponseWriter
	begun bool
}

// WriteHeader begins the answer.
func (t *timed) WriteHeader(status int) {
	t.begun = true
	t.ResponseWriter.WriteHeader(status)
}

// Write writes a piece.
func (t *timed) Write(text []byte) (int, error) {
	t.begun = true
	_ = http.NewResponseController(t.ResponseWriter).SetWriteDeadline(time.Now().Add(writeTime))
	return t.ResponseWriter.Write(text)
}

// Unwrap gives the connection's own.
func (t *timed) Unwrap() http.ResponseWriter { return t.ResponseWriter }
