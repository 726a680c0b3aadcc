package page

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"
	"time"

	"bandwright/finding"
)

// tick is how often long work says how far it is.
const tick = 60 * time.Millisecond

// works are the long questions under way, so that one can be stopped while
// whoever asked still waits for what there is.
type works struct {
	mu   sync.Mutex
	last int
	stop map[string]context.CancelFunc
}

func (k *works) begin(stop context.CancelFunc) (id string) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.stop == nil {
		k.stop = map[string]context.CancelFunc{}
	}
	k.last++
	id = strconv.Itoa(k.last)
	k.stop[id] = stop
	return id
}

func (k *works) end(id string) bool {
	k.mu.Lock()
	defer k.mu.Unlock()
	stop, there := k.stop[id]
	delete(k.stop, id)
	if there {
		stop()
	}
	return there
}

// far is how far long work is.
type far struct {
	Done  int `json:"done"`
	Total int `json:"total"` // 0: nobody knows
}

// stream answers a long question with server-sent events (HTML Living
// Standard, 9.2): work, with the id that DELETE /api/asked/{id} stops it by;
// progress; and last either answer, with the bytes that the command prints,
// or problem. Who goes away stops the work.
func (s *Server) stream(w http.ResponseWriter, r *http.Request, b begun) {
	ctx, cancel := context.WithCancel(r.Context())
	id := s.works.begin(cancel)
	w.Header().Set("Content-Type", "text/event-stream")
	progress := make(chan far, 1)
	b.from.Hold = func() { s.gate.hold(ctx) }
	b.from.Progress = func(done, total int) {
		s.gate.hold(ctx)
		latest(progress, far{done, total})
	}
	var last event
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		last = s.work(ctx, b)
	}()
	defer func() { // nothing is left running once the request is over
		s.works.end(id)
		<-ended
	}()
	if !send(w, event{"work", fmt.Sprintf(`{"id":%q}`, id)}) {
		return
	}
	every := time.NewTicker(tick)
	defer every.Stop()
	for {
		select {
		case <-ended: // also when who asked is gone, which ends the work
			send(w, last)
			return
		case <-every.C:
		}
		select {
		case f := <-progress:
			if !send(w, event{"progress", fmt.Sprintf(`{"done":%d,"total":%d}`, f.Done, f.Total)}) {
				return
			}
		default:
		}
	}
}

// latest puts a value in place of one that nobody has taken yet.
func latest(into chan far, f far) {
	for {
		select {
		case into <- f:
			return
		default:
		}
		select {
		case <-into:
		default:
		}
	}
}

// work does a long question. Its panics are this request's fault alone.
func (s *Server) work(ctx context.Context, b begun) (last event) {
	defer func() {
		if fault := recover(); fault != nil {
			s.sayFault(fault)
			last = problemEvent(refusal(http.StatusInternalServerError, IDFault, nil))
		}
	}()
	var text bytes.Buffer
	if err := b.question.Answer(ctx, &text, b.fields, b.from); err != nil {
		return problemEvent(problem("the question", err))
	}
	return event{"answer", text.String()}
}

func problemEvent(p *Problem) event {
	text, err := json.Marshal(p)
	if err != nil {
		panic(err)
	}
	return event{"problem", string(text)}
}

// event is one of a stream.
type event struct{ name, data string }

// send writes an event, every line of its data on a line of its own, and
// tells whether it went.
func send(w http.ResponseWriter, e event) bool {
	var text strings.Builder
	text.WriteString("event: " + e.name + "\n")
	for _, line := range strings.Split(e.data, "\n") {
		text.WriteString("data: " + line + "\n")
	}
	text.WriteString("\n")
	if _, err := io.WriteString(w, text.String()); err != nil {
		return false
	}
	return http.NewResponseController(w).Flush() == nil
}

// stopWork answers DELETE /api/asked/{id}.
func (s *Server) stopWork(w http.ResponseWriter, r *http.Request) {
	id := r.PathValue("id")
	if !s.works.end(id) {
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": "work " + id}))
		return
	}
	w.WriteHeader(http.StatusNoContent)
}
