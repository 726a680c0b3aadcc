package page

import (
	"net/http"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"
)

// pretend is a server with such an interface built into it.
func pretend(t *testing.T, files fstest.MapFS) http.Handler {
	t.Helper()
	s := newPage(t)
	s.site = siteOf(files)
	return s.local()
}

// Without a built interface a page says how to build it, and what else there
// is; everything behind it answers.
func TestPlaceholder(t *testing.T) {
	h := pretend(t, fstest.MapFS{".keep": {}})
	w := sent(h, request(http.MethodGet, "/", ""))
	guarded(t, w)
	if w.Code != http.StatusServiceUnavailable || w.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("%d, %v", w.Code, w.Header())
	}
	for _, word := range []string{"was not built", "bandwright --help", "make page", "go build ./cmd/bandwright", `lang="en"`, "<title>"} {
		if !strings.Contains(w.Body.String(), word) {
			t.Errorf("%q is not said: %s", word, w.Body)
		}
	}
	inline(t, w.Body.String())
	if w := sent(h, request(http.MethodGet, "/.keep", "")); w.Code != http.StatusNotFound {
		t.Errorf("/.keep gives %d", w.Code)
	}
	if w := sent(h, request(http.MethodGet, "/api/jobs", "")); w.Code != 200 {
		t.Errorf("the list gives %d", w.Code)
	}
}

// inline refuses scripts and styles that the policy would block.
func inline(t *testing.T, page string) {
	t.Helper()
	for _, wrong := range []string{`<script(\s[^>]*)?>\s*[^<\s]`, `\son[a-z]+\s*=`, `\sstyle\s*=`, `javascript:`, `<style`, `(src|href)="(https?:)?//`} {
		if found := regexp.MustCompile(wrong).FindString(page); found != "" {
			t.Errorf("in line or from elsewhere: %s", found)
		}
	}
}

// What is inside this very program, built or not, has nothing in line.
func TestNothingInLine(t *testing.T) {
	inline(t, sent(newPage(t).local(), request(http.MethodGet, "/", "")).Body.String())
}

// Files of the interface are sent whole, once, and only by their own names.
func TestSite(t *testing.T) {
	h := pretend(t, fstest.MapFS{
		"index.html":          {Data: []byte("<!doctype html><div id=page></div>")},
		"assets/main-4f2a.js": {Data: []byte("export {}")},
		"mark.svg":            {Data: []byte("<svg/>")},
		"plain":               {Data: []byte{0, 1}},
	})
	for _, c := range []struct {
		path, kind, age string
		want            int
	}{
		{"/", "text/html; charset=utf-8", "no-cache", 200},
		{"/index.html", "text/html; charset=utf-8", "no-cache", 200},
		{"/assets/main-4f2a.js", "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", 200},
		{"/mark.svg", "image/svg+xml", "no-cache", 200},
		{"/plain", "application/octet-stream", "no-cache", 200},
		{"/assets", "", "", 404}, {"/assets/", "", "", 404}, {"/ASSETS/main-4f2a.js", "", "", 404},
		{"/assets/main-4f2a.js/", "", "", 404}, {"/assets%2fmain-4f2a.js", "text/javascript; charset=utf-8", "public, max-age=31536000, immutable", 200},
	} {
		w := sent(h, request(http.MethodGet, c.path, ""))
		guarded(t, w)
		if w.Code != c.want || c.kind != "" && w.Header().Get("Content-Type") != c.kind || w.Header().Get("Cache-Control") != c.age {
			t.Errorf("%s gives %d, %v", c.path, w.Code, w.Header())
		}
		if c.want != 200 {
			continue
		}
		if w := sent(h, with(request(http.MethodGet, c.path, ""), "If-None-Match", `"other", W/`+w.Header().Get("ETag"))); w.Code != 304 || w.Body.Len() > 0 {
			t.Errorf("%s again gives %d", c.path, w.Code)
		}
		if w := sent(h, request(http.MethodHead, c.path, "")); w.Code != 200 || w.Body.Len() > 0 {
			t.Errorf("the head of %s gives %d with %d bytes", c.path, w.Code, w.Body.Len())
		}
	}
}
