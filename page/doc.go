// Package page is the local web page: it serves the interface built from
// page/ui, and answers it as JSON over HTTP. It computes nothing: jobs come
// from shop, answers from ask, words from report.
//
// It listens on this machine alone unless told otherwise, answers only to its
// own address and its own page, and off this machine only who brings the
// token. What a request names never leads out of the folder of jobs.
package page

import (
	"context"
	"io"
	"net/http"
	"sync"

	"github.com/danielgtaylor/huma/v2"

	"bandwright/shop"
)

// Options say how the page is served.
type Options struct {
	Shop    *shop.Folder
	Version string    // of the program, as the sheet says it
	Say     io.Writer // where faults of the program are told
	// Addresses of this machine that others reach it by; nil: ask the system.
	Addresses func() ([]string, error)
}

// Server answers requests. It is safe for many at a time.
type Server struct {
	Options
	life  context.Context // ends when the server stops
	cases cases
	gate  gate
	works works
	site  site
	mux   *http.ServeMux
	api   huma.API
	bench benchDoor

	saying sync.Mutex // guards Say
}

// New makes a server. All work ends with life.
func New(life context.Context, o Options) *Server {
	if o.Shop == nil || o.Say == nil {
		panic("page: no shop or nowhere to say faults")
	}
	if o.Addresses == nil {
		o.Addresses = ownAddresses
	}
	s := &Server{Options: o, life: life, site: newSite(), mux: http.NewServeMux()}
	s.cases.shop, s.cases.life = o.Shop, life
	s.routes()
	return s
}
