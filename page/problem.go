package page

import (
	"context"
	"encoding/json"
	"errors"
	"net/http"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"bandwright/finding"
	"bandwright/report"
	"bandwright/shop"
)

// What can stand in the way of a request; all are errors. The words are
// report's.
const (
	// IDNone: what. It is not in the folder.
	IDNone finding.ID = "page.none"
	// IDName: what. No file here can have that name.
	IDName finding.ID = "page.name"
	// IDTooBig: most, bytes.
	IDTooBig finding.ID = "page.too-big"
	// IDChanged: what. Somebody else has changed it; nothing was overwritten.
	IDChanged finding.ID = "page.changed"
	// IDDisk: what, reason.
	IDDisk finding.ID = "page.disk"
	// IDFault: no args. A mistake of the program.
	IDFault finding.ID = "page.fault"
	// IDElsewhere: a request of another page, or for another address. what.
	IDElsewhere finding.ID = "page.elsewhere"
	// IDToken: no args. Off this machine, without the token.
	IDToken finding.ID = "page.token"
	// IDRequest: reason. A request that cannot be read.
	IDRequest finding.ID = "page.request"
	// IDNoNetwork: no args. No address that another machine could reach.
	IDNoNetwork finding.ID = "page.no-network"
	// IDRecordingThere: what. Another recording has that name; nothing was overwritten.
	IDRecordingThere finding.ID = "page.recording-there"
	// IDStopped: no args. The work was stopped before there was an answer.
	IDStopped finding.ID = "page.stopped"
)

// Problem is an error as it is sent (RFC 9457), with the findings worded.
type Problem struct {
	Status   int             `json:"status"`
	Title    string          `json:"title"`
	Detail   string          `json:"detail"`
	Hint     string          `json:"hint,omitempty"`
	Findings []report.Worded `json:"findings"`
}

// Error gives the detail.
func (p *Problem) Error() string { return p.Detail }

// GetStatus gives the HTTP status.
func (p *Problem) GetStatus() int { return p.Status }

// ContentType is that of problems.
func (p *Problem) ContentType(string) string { return "application/problem+json" }

// problemOf words findings as a problem.
func problemOf(status int, found finding.List) *Problem {
	p := &Problem{Status: status, Title: http.StatusText(status), Findings: report.WordAll(found)}
	var said []string
	for _, f := range p.Findings {
		if f.Level == finding.Error {
			said = append(said, f.Say)
			if p.Hint == "" {
				p.Hint = f.Hint
			}
		}
	}
	p.Detail = strings.Join(said, "\n")
	return p
}

// refusal is a problem of one finding.
func refusal(status int, id finding.ID, args finding.Args) *Problem {
	return problemOf(status, finding.List{finding.New(id, finding.Error, finding.Place{}, args)})
}

// asProblem words what the library says of a body that it cannot read.
func asProblem(_ huma.Context, _ string, v any) (any, error) {
	of, is := v.(*huma.ErrorModel)
	if !is {
		return v, nil
	}
	said := []string{of.Detail}
	for _, e := range of.Errors {
		said = append(said, strings.TrimSpace(e.Location+" "+e.Message))
	}
	return refusal(of.Status, IDRequest, finding.Args{"reason": strings.Join(said, "; ")}), nil
}

// problem turns an error about a thing into what is sent.
func problem(what string, err error) *Problem {
	var already *Problem
	if errors.As(err, &already) {
		return already
	}
	if found, ok := finding.From(err); ok {
		return problemOf(http.StatusUnprocessableEntity, found)
	}
	of := finding.Args{"what": what}
	switch {
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return refusal(http.StatusServiceUnavailable, IDStopped, nil)
	case errors.Is(err, shop.ErrNone):
		return refusal(http.StatusNotFound, IDNone, of)
	case errors.Is(err, shop.ErrName):
		return refusal(http.StatusNotFound, IDName, of)
	case errors.Is(err, shop.ErrTooBig):
		return refusal(http.StatusRequestEntityTooLarge, IDTooBig, finding.Args{"most": int64(shop.MostFileBytes)})
	case errors.Is(err, shop.ErrExists), errors.Is(err, shop.ErrChanged):
		return refusal(http.StatusConflict, IDChanged, of)
	}
	return refusal(http.StatusInternalServerError, IDDisk, finding.Args{"what": what, "reason": shop.Reason(err)})
}

// refuse sends a problem.
func refuse(w http.ResponseWriter, p *Problem) {
	text, err := json.Marshal(p)
	if err != nil {
		panic(err)
	}
	w.Header().Set("Content-Type", p.ContentType(""))
	w.WriteHeader(p.Status)
	_, _ = w.Write(text) // nobody is left to be told
}
