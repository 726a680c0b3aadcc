package page

import (
	"context"
	"io"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"bandwright/finding"
)

const token = "the-token-of-this-page"

// bench is the page as a phone at the bench reaches it.
func (s *Server) benchDoorOf(own ...string) http.Handler { return s.handler(own, "8484", token) }

// Off this machine only who brings the token is answered, and nobody there
// says who may come in.
func TestOffThisMachine(t *testing.T) {
	folder := house(t)
	before := everything(t, folder)
	h := pageOf(t, folder, io.Discard).benchDoorOf("192.168.7.2")
	there := func(method, path, body string) *http.Request {
		return with(host(request(method, path, body), "192.168.7.2:8484"), "Origin", "http://192.168.7.2:8484")
	}
	brings := func(r *http.Request, token string) *http.Request {
		r.AddCookie(&http.Cookie{Name: tokenCookie, Value: token})
		return r
	}
	write := func() *http.Request { return there(http.MethodPut, "/api/jobs/bass-head/files/new.csv", "20,1\n") }
	for _, c := range []hostile{
		{"no token", there(http.MethodGet, "/api/jobs", ""), 401, IDToken},
		{"no token for the page", there(http.MethodGet, "/", ""), 401, IDToken},
		{"no token on a write", write(), 401, IDToken},
		{"wrong token", brings(there(http.MethodGet, "/api/jobs", ""), "guessed"), 401, IDToken},
		{"empty token", brings(there(http.MethodGet, "/api/jobs", ""), ""), 401, IDToken},
		{"half the token", brings(there(http.MethodGet, "/api/jobs", ""), token[:8]), 401, IDToken},
		{"wrong token in the address", there(http.MethodGet, "/?token=guessed", ""), 401, IDToken},
		{"token in the address of an answer", there(http.MethodGet, "/api/jobs?token="+token, ""), 401, IDToken},
		{"token in the address of a write", there(http.MethodPost, "/?token="+token, "{}"), 401, IDToken},
		{"token as a password", with(there(http.MethodGet, "/api/jobs", ""), "Authorization", "Bearer "+token), 401, IDToken},
		{"token under another name", with(there(http.MethodGet, "/api/jobs", ""), "Cookie", "token="+token), 401, IDToken},
		{"token with a foreign host", brings(host(without(there(http.MethodGet, "/api/jobs", ""), "Origin"), "evil.example:8484"), token), 421, IDElsewhere},
		{"token by a name of this machine", brings(host(without(there(http.MethodGet, "/api/jobs", ""), "Origin"), "localhost:8484"), token), 421, IDElsewhere},
		{"token with a foreign origin", brings(with(write(), "Origin", "http://evil.example"), token), 403, IDElsewhere},
		{"token from another site", brings(with(without(write(), "Origin"), "Sec-Fetch-Site", "cross-site"), token), 403, IDElsewhere},
		{"opening the door from there", brings(there(http.MethodPost, "/api/listen", ""), token), 403, IDElsewhere},
		{"shutting the door from there", brings(there(http.MethodDelete, "/api/listen", ""), token), 403, IDElsewhere},
		{"the square code from there", brings(there(http.MethodGet, "/api/listen/code.svg", ""), token), 403, IDElsewhere},
		{"token", brings(there(http.MethodGet, "/api/jobs", ""), token), 200, ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := sent(h, c.send)
			if w.Code != c.want || c.id != "" && !strings.Contains(w.Body.String(), `"id":"`+string(c.id)+`"`) {
				t.Errorf("%d, want %d and %s: %.300s", w.Code, c.want, c.id, w.Body)
			}
			guarded(t, w)
			if strings.Contains(w.Body.String(), token) || len(w.Result().Cookies()) > 0 {
				t.Error("the token is given away")
			}
		})
	}
	same(t, before, everything(t, folder))
}

// The token in the address becomes a cookie that no script reads, and the
// address loses it.
func TestTokenBecomesCookie(t *testing.T) {
	h := pageOf(t, house(t), io.Discard).benchDoorOf("192.168.7.2")
	come := without(host(request(http.MethodGet, "/?token="+token, ""), "192.168.7.2:8484"), "Origin", "Sec-Fetch-Site")
	w := sent(h, come)
	guarded(t, w)
	if w.Code != http.StatusSeeOther || w.Header().Get("Location") != "/" || strings.Contains(w.Body.String(), token) {
		t.Errorf("%d to %q: %s", w.Code, w.Header().Get("Location"), w.Body)
	}
	cookies := w.Result().Cookies()
	if len(cookies) != 1 || !cookies[0].HttpOnly || cookies[0].SameSite != http.SameSiteLaxMode || cookies[0].Domain != "" || !cookies[0].Expires.IsZero() {
		t.Fatalf("cookies %v", cookies)
	}
	again := without(host(request(http.MethodGet, "/api/jobs", ""), "192.168.7.2:8484"), "Origin")
	again.AddCookie(cookies[0])
	if w := sent(h, again); w.Code != 200 {
		t.Errorf("with the cookie %d: %s", w.Code, w.Body)
	}
}

// The bench is let in by a click at this machine, with a new token each time;
// once it is shut out again, nothing answers there.
func TestShowAtTheBench(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	s := pageOf(t, house(t), io.Discard)
	s.life = ctx
	s.Addresses = func() ([]string, error) { return []string{"127.0.0.1", "::1"}, nil }
	h := s.local()
	if w := sent(h, request(http.MethodGet, "/api/listen/code.svg", "")); w.Code != 404 {
		t.Errorf("before, the square code gives %d", w.Code)
	}
	open := read[Bench](t, h, http.MethodPost, "/api/listen", nil)
	if !open.Listening || len(open.Others) != 1 || read[Bench](t, h, http.MethodPost, "/api/listen", nil).Address != open.Address {
		t.Errorf("opened as %+v", open)
	}
	code := sent(h, request(http.MethodGet, "/"+open.Code, ""))
	if code.Code != 200 || !strings.HasPrefix(code.Body.String(), "<svg") {
		t.Errorf("square code: %d %.100s", code.Code, code.Body)
	}
	guarded(t, code)
	to, err := url.Parse(open.Address)
	if err != nil || len(to.Query().Get("token")) < 20 {
		t.Fatalf("address %s, %v", open.Address, err)
	}
	for with, want := range map[string]int{"": 401, "bandwright=" + to.Query().Get("token"): 200} {
		if got := asked(t, "http://"+to.Host+"/api/jobs", with); got != want {
			t.Errorf("with %q the bench is answered %d, want %d", with, got, want)
		}
	}
	if read[Bench](t, h, http.MethodDelete, "/api/listen", nil).Listening || read[Bench](t, h, http.MethodGet, "/api/listen", nil).Listening {
		t.Error("it listens still")
	}
	if got := asked(t, "http://"+to.Host+"/api/jobs", ""); got != 0 {
		t.Errorf("shut out, the bench is answered %d", got)
	}
	if again := read[Bench](t, h, http.MethodPost, "/api/listen", nil); strings.HasSuffix(again.Address, to.Query().Get("token")) {
		t.Error("the same token again")
	}
	stop()
	s.bench.answering.Wait() // ends with the server's life
}

// asked gives the status of an answer over the network; 0: there is none.
func asked(t *testing.T, address, cookie string) int {
	t.Helper()
	r, err := http.NewRequest(http.MethodGet, address, nil)
	if err != nil {
		t.Fatal(err)
	}
	if cookie != "" {
		r.Header.Set("Cookie", cookie)
	}
	response, err := (&http.Client{Transport: &http.Transport{DisableKeepAlives: true}}).Do(r)
	if err != nil {
		return 0
	}
	if err := response.Body.Close(); err != nil {
		t.Error(err)
	}
	return response.StatusCode
}

// A machine without a network cannot be reached at the bench, and says so.
func TestNoNetworkAtTheBench(t *testing.T) {
	s := pageOf(t, t.TempDir(), io.Discard)
	s.Addresses = func() ([]string, error) { return nil, nil }
	w := sent(s.local(), request(http.MethodPost, "/api/listen", ""))
	if w.Code != http.StatusServiceUnavailable || !strings.Contains(w.Body.String(), string(IDNoNetwork)) {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
	if read[Bench](t, s.local(), http.MethodGet, "/api/listen", nil).Listening {
		t.Error("it says that it listens")
	}
}

// Only an address of this machine alone goes without a token.
func TestWhereATokenIsAsked(t *testing.T) {
	s := pageOf(t, t.TempDir(), io.Discard)
	s.Addresses = func() ([]string, error) { return []string{"192.168.7.2"}, nil }
	for address, want := range map[string]bool{"127.0.0.1:0": false, "localhost:0": false, "[::1]:0": false, ":0": true, "0.0.0.0:0": true} {
		l, err := s.Listen(address)
		if err != nil {
			t.Errorf("%s: %v", address, err)
			continue
		}
		if got := strings.Contains(l.Address, "token="); got != want || got != (l.token != "") {
			t.Errorf("%s is served at %s", address, l.Address)
		}
		if err := l.on.Close(); err != nil {
			t.Error(err)
		}
	}
	if _, err := s.Listen("127.0.0.1:99999"); err == nil {
		t.Error("no such port, and no error")
	} else if _, ours := finding.From(err); ours {
		t.Errorf("%v", err)
	}
}
