package page

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"slices"
	"strings"

	"bandwright/finding"
)

// dist is the built interface. Only .keep is there before it is built.
//
//go:embed all:ui/dist
var dist embed.FS

// placeholder stands where the interface was not built.
const placeholder = `<!doctype html>
<html lang="en"><meta charset="utf-8"><title>Bandwright</title>
<h1>The page was not built into this program</h1>
<p>The command does all the same work without it: <code>bandwright --help</code>.
To build the page, with Node.js and npm at hand, in the source folder:</p>
<pre>make page
go build ./cmd/bandwright</pre>
</html>
`

// site holds the interface's files, ready to be sent.
type site struct{ files map[string]asset }

type asset struct {
	data           []byte
	kind, tag, age string
}

// newSite reads the interface that is inside the program.
func newSite() site {
	built, err := fs.Sub(dist, "ui/dist")
	if err != nil {
		panic(err)
	}
	return siteOf(built)
}

func siteOf(built fs.FS) site {
	s := site{files: map[string]asset{}}
	err := fs.WalkDir(built, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() || strings.HasPrefix(entry.Name(), ".") {
			return err
		}
		data, err := fs.ReadFile(built, name)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(data)
		a := asset{data: data, kind: kindOf(name), tag: `"` + hex.EncodeToString(sum[:16]) + `"`, age: "no-cache"}
		if strings.HasPrefix(name, "assets/") { // their names hold a sum of what is in them
			a.age = "public, max-age=31536000, immutable"
		}
		s.files["/"+name] = a
		return nil
	})
	if err != nil {
		panic(err) // it is inside the program
	}
	return s
}

// kindOf is the type of what the build makes; the system's own table differs
// from machine to machine.
func kindOf(name string) string {
	switch path.Ext(name) {
	case ".js":
		return "text/javascript; charset=utf-8"
	case ".css":
		return "text/css; charset=utf-8"
	case ".html":
		return "text/html; charset=utf-8"
	case ".svg":
		return "image/svg+xml"
	}
	if kind := mime.TypeByExtension(path.Ext(name)); kind != "" {
		return kind
	}
	return "application/octet-stream"
}

// Built tells whether the interface is inside the program.
func (s *Server) Built() bool {
	_, there := s.site.files["/index.html"]
	return there
}

// rest answers what nothing else does: a file of the interface, or no.
func (s *Server) rest(w http.ResponseWriter, r *http.Request) {
	allowed := s.methods(r)
	if _, there := s.site.files[r.URL.Path]; there || r.URL.Path == "/" {
		allowed = []string{http.MethodGet, http.MethodHead}
	}
	if len(allowed) > 0 && !slices.Contains(allowed, r.Method) {
		w.Header().Set("Allow", strings.Join(allowed, ", "))
		refuse(w, refusal(http.StatusMethodNotAllowed, IDNone, finding.Args{"what": r.Method + " " + r.URL.Path}))
		return
	}
	s.site.ServeHTTP(w, r)
}

// methods gives those that something else answers at this path.
func (s *Server) methods(r *http.Request) []string {
	var list []string
	for _, method := range []string{http.MethodGet, http.MethodPost, http.MethodPut, http.MethodDelete} {
		if _, pattern := s.mux.Handler(&http.Request{Method: method, URL: r.URL, Host: r.Host}); strings.Contains(pattern, " ") {
			list = append(list, method)
		}
	}
	return list
}

// ServeHTTP sends a file of the interface.
func (s site) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	name := r.URL.Path
	if name == "/" {
		name = "/index.html"
	}
	a, there := s.files[name]
	h := w.Header()
	switch {
	case !there && name == "/index.html":
		h.Set("Content-Type", "text/html; charset=utf-8")
		h.Set("Cache-Control", "no-store")
		w.WriteHeader(http.StatusServiceUnavailable)
		_, _ = w.Write([]byte(placeholder)) // whoever asked may be gone
		return
	case !there:
		refuse(w, refusal(http.StatusNotFound, IDNone, finding.Args{"what": r.URL.Path}))
		return
	}
	h.Set("ETag", a.tag)
	h.Set("Cache-Control", a.age)
	h.Set("Content-Type", a.kind)
	for _, known := range strings.Split(r.Header.Get("If-None-Match"), ",") {
		if strings.TrimPrefix(strings.TrimSpace(known), "W/") == a.tag {
			w.WriteHeader(http.StatusNotModified)
			return
		}
	}
	if r.Method != http.MethodHead {
		_, _ = w.Write(a.data) // whoever asked may be gone
	}
}
