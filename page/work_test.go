package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"
)

// leaving is somebody who goes away, or does something else, at the first
// event of a name.
type leaving struct {
	*httptest.ResponseRecorder
	at   string
	then func(soFar string)
}

func (l *leaving) Write(text []byte) (int, error) {
	n, err := l.ResponseRecorder.Write(text)
	if l.then != nil && bytes.Contains(text, []byte("event: "+l.at+"\n")) {
		then := l.then
		l.then = nil
		then(l.Body.String())
	}
	return n, err
}

// Who goes away ends the work: once the request is over nothing runs.
func TestWorkEndsWithWhoAsked(t *testing.T) {
	h := newPage(t).local()
	for _, accept := range []string{"text/event-stream", "application/json"} {
		ctx, leave := context.WithCancel(t.Context())
		w := &leaving{ResponseRecorder: httptest.NewRecorder(), at: "progress", then: func(string) { leave() }}
		if accept == "application/json" {
			leave() // nobody tells how far it is
		}
		h.ServeHTTP(w, with(request(http.MethodPost, "/api/ask/spread", longWork), "Accept", accept).WithContext(ctx))
		if n := atWork("spread"); n != 0 {
			t.Errorf("as %s, %d are still at work", accept, n)
		}
		if ctx.Err() == nil {
			t.Error("all was done before anybody left")
		}
		leave()
	}
}

// Work can be stopped by its id while whoever asked still waits for what there
// is; an id is worth nothing afterwards.
func TestWorkIsStoppedByItsID(t *testing.T) {
	h := newPage(t).local()
	var id string
	w := &leaving{ResponseRecorder: httptest.NewRecorder(), at: "progress", then: func(soFar string) {
		_, rest, _ := strings.Cut(soFar, `event: work`+"\n"+`data: {"id":"`)
		id, _, _ = strings.Cut(rest, `"`)
		if code := sent(h, request(http.MethodDelete, "/api/asked/"+id, "")).Code; code != http.StatusNoContent {
			t.Errorf("stopping %q gives %d", id, code)
		}
	}}
	h.ServeHTTP(w, with(request(http.MethodPost, "/api/ask/spread", longWork), "Accept", "text/event-stream"))
	if n := atWork("spread"); n != 0 {
		t.Errorf("%d are still at work", n)
	}
	events := strings.Split(strings.TrimSpace(w.Body.String()), "\n\n")
	name, _, _ := strings.Cut(events[len(events)-1], "\n")
	stopped(t, event{name, events[len(events)-1]})
	if code := sent(h, request(http.MethodDelete, "/api/asked/"+id, "")).Code; code != http.StatusNotFound {
		t.Errorf("stopping it again gives %d", code)
	}
}

// A stream tells how far work is, never backwards, and ends with the bytes
// that who takes no stream gets.
func TestProgressOverTheStream(t *testing.T) {
	h := newPage(t).local()
	const question = `{"job":"bass-head","count":600}`
	w := sent(h, with(request(http.MethodPost, "/api/ask/spread", question), "Accept", "text/event-stream"))
	guarded(t, w)
	plain := sent(h, request(http.MethodPost, "/api/ask/spread", question)).Body.String()
	var before far
	var told int
	events := strings.SplitAfter(w.Body.String(), "\n\n")
	if !strings.HasPrefix(events[0], "event: work\n") {
		t.Errorf("begins with %s", events[0])
	}
	for _, e := range events {
		name, data, _ := strings.Cut(strings.TrimPrefix(e, "event: "), "\ndata: ")
		switch name {
		case "progress":
			var now far
			if err := json.Unmarshal([]byte(data), &now); err != nil {
				t.Fatal(err)
			}
			if now.Done < before.Done || now.Done > now.Total || now.Total < before.Total {
				t.Errorf("%+v comes after %+v", now, before)
			}
			before, told = now, told+1
		case "answer":
			if got := strings.ReplaceAll(strings.TrimSuffix(data, "\n\n"), "\ndata: ", "\n"); got != plain {
				t.Errorf("the stream's answer is another:\n%.500s\n%.500s", got, plain)
			}
		}
	}
	if told == 0 || !strings.HasPrefix(events[len(events)-2], "event: answer\n") {
		t.Errorf("told %d times how far it was; %d events", told, len(events))
	}
}

// A mistake in long work is told in the stream, and is that request's alone.
func TestPanicInLongWork(t *testing.T) {
	var said bytes.Buffer
	s := pageOf(t, house(t), &said)
	h := s.local()
	s.cases.shop = nil // a mistake of ours
	w := sent(h, with(request(http.MethodPost, "/api/ask/spread", `{"job":"bass-head"}`), "Accept", "text/event-stream"))
	if !strings.Contains(w.Body.String(), "event: problem\n") || !strings.Contains(w.Body.String(), string(IDFault)) {
		t.Errorf("answered %s", w.Body)
	}
	if !strings.Contains(said.String(), "stream.go") {
		t.Errorf("said %s", said.String())
	}
	s.cases.shop = s.Shop
	if w := sent(h, request(http.MethodPost, "/api/ask/check", `{"job":"bass-head"}`)); w.Code != 200 {
		t.Errorf("afterwards a question gives %d: %s", w.Code, w.Body)
	}
}

// Asked again, asked of the text that is sent, and asked while others are
// asked, a question is answered with the same bytes.
func TestAnswersAreTheSameBytes(t *testing.T) {
	s := newPage(t)
	h := s.local()
	text, err := s.Shop.Read("bass-head")
	if err != nil {
		t.Fatal(err)
	}
	sentText, err := json.Marshal(string(text))
	if err != nil {
		t.Fatal(err)
	}
	questions := map[string]string{
		"check": ``, "bands": `,"others":"63=+1"`, "predict": `,"set":"400=+1","at":[100,400]`,
		"volts": ``, "noise": ``, "spread": `,"count":100`,
	}
	first := map[string]string{}
	answer := func(name, extra string) string {
		w := sent(h, request(http.MethodPost, "/api/ask/"+name, `{"job":"bass-head"`+questions[name]+extra+`}`))
		if w.Code != 200 || !strings.Contains(w.Body.String(), `"answer"`) {
			return fmt.Sprintf("%d: %s", w.Code, w.Body)
		}
		return w.Body.String()
	}
	for name := range questions {
		first[name] = answer(name, "")
	}
	var asked sync.WaitGroup
	for name, want := range first {
		if !strings.HasPrefix(want, "{") {
			t.Errorf("%s gives %.300s", name, want)
		}
		for _, extra := range []string{"", `,"text":` + string(sentText)} {
			asked.Go(func() {
				if got := answer(name, extra); got != want {
					t.Errorf("%s gives\n%.300s\nand before\n%.300s", name, got, want)
				}
			})
		}
	}
	asked.Wait()
}

// A curve file that changed is read again; the rest of a case is kept.
func TestChangedCurveIsReadAgain(t *testing.T) {
	folder := house(t)
	h := pageOf(t, folder, os.Stderr).local()
	compare := func() string {
		return sent(h, request(http.MethodPost, "/api/ask/compare", `{"job":"bass-head"}`)).Body.String()
	}
	before := compare()
	const name = "unit-a-63-boost.csv"
	r := request(http.MethodGet, "/api/jobs/bass-head/files/"+name, "")
	was := sent(h, r)
	if w := sent(h, with(request(http.MethodPut, r.URL.Path, "no curve at all\n"), "If-Match", was.Header().Get("ETag"))); w.Code != http.StatusNoContent {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	if after := compare(); after == before {
		t.Error("the curve as it was is compared still")
	}
}
