package page

import (
	"errors"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/job"
	"bandwright/shop"
)

const secret = "nothing of this may be read"

// house is a folder of jobs with the demo's job in it, in another folder with
// what nobody may reach.
func house(t *testing.T) (folder string) {
	t.Helper()
	all := t.TempDir()
	folder = filepath.Join(all, "jobs")
	copyDemo(t, filepath.Join(folder, "bass-head"))
	outside := filepath.Join(all, "outside")
	err := errors.Join(os.Mkdir(outside, 0o777),
		os.WriteFile(filepath.Join(all, "secret.csv"), []byte(secret), 0o666),
		os.WriteFile(filepath.Join(outside, "job.toml"), []byte(secret), 0o666),
		os.WriteFile(filepath.Join(folder, "bass-head", ".hidden.csv"), []byte(secret), 0o666),
		os.WriteFile(filepath.Join(all, "secret.wav"), []byte(secret), 0o666),
		os.WriteFile(filepath.Join(folder, "bass-head", "there.wav"), []byte("RIFF"), 0o666),
		os.Symlink(filepath.Join("..", "..", "secret.wav"), filepath.Join(folder, "bass-head", "led-out.wav")),
		os.Symlink(filepath.Join("..", "outside"), filepath.Join(folder, "led-out")),
		os.Symlink(filepath.Join("..", "..", "secret.csv"), filepath.Join(folder, "bass-head", "led-out.csv")))
	if err != nil {
		t.Fatal(err)
	}
	return folder
}

// everything gives every file under a folder with what is in it.
func everything(t *testing.T, folder string) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := fs.WalkDir(os.DirFS(folder), ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || !entry.Type().IsRegular() || entry.Name() == ".lock" { // held by who saves, and empty
			return err
		}
		data, err := os.ReadFile(filepath.Join(folder, filepath.FromSlash(name)))
		all[name] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// with gives a header to a request.
func with(r *http.Request, header ...string) *http.Request {
	for i := 0; i < len(header); i += 2 {
		r.Header.Set(header[i], header[i+1])
	}
	return r
}

// without takes headers from a request.
func without(r *http.Request, headers ...string) *http.Request {
	for _, h := range headers {
		r.Header.Del(h)
	}
	return r
}

func host(r *http.Request, name string) *http.Request {
	r.Host = name
	return r
}

// save is a write that would be done if it were the page's own.
func save() *http.Request {
	return request(http.MethodPut, "/api/jobs/bass-head/files/new.csv", "20,1\n")
}

// sound is a recording that would be kept if it were the page's own.
func sound() *http.Request {
	return with(request(http.MethodPut, "/api/jobs/bass-head/recordings/new.wav", "RIFF"), "Content-Type", "audio/wav")
}

type hostile struct {
	name string
	send *http.Request
	want int
	id   finding.ID // "": no finding of ours
}

func elsewhere() []hostile {
	get := func() *http.Request {
		return without(request(http.MethodGet, "/api/jobs", ""), "Origin", "Sec-Fetch-Site")
	}
	return []hostile{
		{"foreign host", host(get(), "evil.example"), 421, IDElsewhere},
		{"foreign host with the page's port", host(get(), "evil.example:8484"), 421, IDElsewhere},
		{"own host with another port", host(get(), "127.0.0.1:8485"), 421, IDElsewhere},
		{"own host without the port", host(get(), "127.0.0.1"), 421, IDElsewhere},
		{"host that begins as the own", host(get(), "127.0.0.1.evil.example:8484"), 421, IDElsewhere},
		{"host that ends as the own", host(get(), "evil-localhost:8484"), 421, IDElsewhere},
		{"host with a user before it", host(get(), "evil@127.0.0.1:8484"), 421, IDElsewhere},
		{"all addresses as host", host(get(), "0.0.0.0:8484"), 421, IDElsewhere},
		{"missing host", host(get(), ""), 421, IDElsewhere},
		{"missing host on a write", host(save(), ""), 421, IDElsewhere},
		{"foreign origin on a write", with(save(), "Origin", "http://evil.example"), 403, IDElsewhere},
		{"foreign origin alone on a write", without(with(save(), "Origin", "http://evil.example"), "Sec-Fetch-Site"), 403, IDElsewhere},
		{"origin of another port on a write", with(save(), "Origin", "http://127.0.0.1:8485"), 403, IDElsewhere},
		{"origin over another scheme on a write", with(save(), "Origin", "https://127.0.0.1:8484"), 403, IDElsewhere},
		{"origin null on a write", with(save(), "Origin", "null"), 403, IDElsewhere},
		{"foreign origin on a read", with(request(http.MethodGet, "/api/jobs", ""), "Origin", "http://evil.example"), 403, IDElsewhere},
		{"cross-site write", with(without(save(), "Origin"), "Sec-Fetch-Site", "cross-site"), 403, IDElsewhere},
		{"same-site write", with(without(save(), "Origin"), "Sec-Fetch-Site", "same-site"), 403, IDElsewhere},
		{"write of an unknown site", with(without(save(), "Origin"), "Sec-Fetch-Site", "nonsense"), 403, IDElsewhere},
		{"cross-site read", with(get(), "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "no-cors"), 403, IDElsewhere},
		{"cross-site link to an answer", with(get(), "Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate"), 403, IDElsewhere},
		{"recording of a foreign host", host(sound(), "evil.example"), 421, IDElsewhere},
		{"recording of a foreign origin", with(sound(), "Origin", "http://evil.example"), 403, IDElsewhere},
		{"cross-site recording", with(without(sound(), "Origin"), "Sec-Fetch-Site", "cross-site"), 403, IDElsewhere},
		{"cross-site link to a test recording", with(without(request(http.MethodGet, "/api/takes/bass-head/wav", ""), "Origin"),
			"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate"), 403, IDElsewhere},
		{"cross-site form", with(without(request(http.MethodPost, "/", "a=b"), "Origin"),
			"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate", "Content-Type", "application/x-www-form-urlencoded"), 403, IDElsewhere},
	}
}

func paths() []hostile {
	get := func(path string) *http.Request { return request(http.MethodGet, path, "") }
	put := func(path string) *http.Request { return request(http.MethodPut, path, "20,1\n") }
	return []hostile{
		{"job id that climbs", get("/api/jobs/%2e%2e"), 404, IDName},
		{"job id that climbs to a file", get("/api/jobs/..%2fsecret.csv"), 404, IDName},
		{"job id with backslashes", get("/api/jobs/..%5coutside"), 404, IDName},
		{"job id encoded twice", get("/api/jobs/%252e%252e%252foutside"), 404, IDNone},
		{"job id that is absolute", get("/api/jobs/%2fetc%2fpasswd"), 404, IDName},
		{"job id with a nought", get("/api/jobs/bass-head%00"), 404, IDName},
		{"job id of a drive", get("/api/jobs/c:job.toml"), 404, IDName},
		{"job id that is hidden", get("/api/jobs/.bandwright"), 404, IDName},
		{"job id with a line break", get("/api/jobs/bass-head%0a"), 404, IDName},
		{"job id that is too long", get("/api/jobs/" + strings.Repeat("a", 200)), 404, IDName},
		{"job id that is no text", get("/api/jobs/%ff%fe"), 404, IDName},
		{"job id that is a link to outside", get("/api/jobs/led-out"), 500, IDDisk},
		{"job path with plain dots", get("/api/jobs/../../secret.csv"), 307, ""},
		{"address of another machine in the path", get("//evil.example/%2e%2e"), 307, ""},
		{"file name that climbs", get("/api/jobs/bass-head/files/..%2f..%2fsecret.csv"), 404, IDName},
		{"file name that climbs from a folder", get("/api/jobs/bass-head/files/curves%2f..%2f..%2fsecret.csv"), 404, IDName},
		{"file name encoded twice", get("/api/jobs/bass-head/files/%252e%252e%252fsecret.csv"), 404, IDNone},
		{"file name with backslashes", get("/api/jobs/bass-head/files/..%5c..%5csecret.csv"), 404, IDName},
		{"file name that is absolute", get("/api/jobs/bass-head/files/%2fetc%2fhosts.txt"), 404, IDName},
		{"file name with a nought", get("/api/jobs/bass-head/files/secret.csv%00.txt"), 404, IDName},
		{"file name that is hidden", get("/api/jobs/bass-head/files/.hidden.csv"), 404, IDName},
		{"file name of the job", get("/api/jobs/bass-head/files/job.toml"), 404, IDName},
		{"file name of a program", put("/api/jobs/bass-head/files/run.sh"), 404, IDName},
		{"file of a page", put("/api/jobs/bass-head/files/page.html"), 404, IDName},
		{"file name two folders down", put("/api/jobs/bass-head/files/a%2fb%2fc.csv"), 404, IDName},
		{"file of no job", put("/api/jobs/nobody/files/a.csv"), 404, IDNone},
		{"file that is a link to outside", get("/api/jobs/bass-head/files/led-out.csv"), 500, IDDisk},
		{"write through a link to outside", with(put("/api/jobs/bass-head/files/led-out.csv"), "If-Match", `"x"`), 500, IDDisk},
		{"write into a folder that leads outside", put("/api/jobs/led-out/files/a.csv"), 500, IDDisk},
		{"recording that climbs", put("/api/jobs/bass-head/recordings/..%2f..%2fnew.wav"), 404, IDName},
		{"recording that climbs from a folder", put("/api/jobs/bass-head/recordings/a%2f..%2f..%2fnew.wav"), 404, IDName},
		{"recording two folders down", put("/api/jobs/bass-head/recordings/a%2fb%2fc.wav"), 404, IDName},
		{"recording with backslashes", put("/api/jobs/bass-head/recordings/..%5cnew.wav"), 404, IDName},
		{"recording that is hidden", put("/api/jobs/bass-head/recordings/.new.wav"), 404, IDName},
		{"recording with a nought", put("/api/jobs/bass-head/recordings/new%00.wav"), 404, IDName},
		{"recording over the job", put("/api/jobs/bass-head/recordings/job.toml"), 404, IDName},
		{"recording that is a program", put("/api/jobs/bass-head/recordings/run.sh"), 404, IDName},
		{"recording of no job", put("/api/jobs/nobody/recordings/new.wav"), 404, IDNone},
		{"recording of a job that climbs", put("/api/jobs/..%2foutside/recordings/new.wav"), 404, IDName},
		{"recording of a job that is a link to outside", put("/api/jobs/led-out/recordings/new.wav"), 500, IDDisk},
		{"recording over another", put("/api/jobs/bass-head/recordings/there.wav"), 409, IDRecordingThere},
		{"recording through a link to outside", put("/api/jobs/bass-head/recordings/led-out.wav"), 500, IDDisk},
		{"recordings of a job that climbs", get("/api/jobs/..%2foutside/recordings"), 404, IDName},
		{"recording taken back out", get("/api/jobs/bass-head/recordings/there.wav"), 405, IDNone},
		{"test recording of a job that climbs", get("/api/takes/..%2foutside/wav"), 404, IDName},
		{"test recording at no rate", get("/api/takes/bass-head/wav?rate=fast"), 400, IDRequest},
		{"test recording at a rate that is none", get("/api/takes/bass-head/wav?rate=7"), 422, ""},
		{"drawer of another folder", request(http.MethodPost, "/api/ask/drawer", `{"job":"bass-head","file":"../../secret.csv"}`), 200, ""},
		{"sheet that climbs", get("/api/sheet/..%2foutside/html"), 404, IDName},
		{"sheet with a drawer that climbs", get("/api/sheet/bass-head/html?drawer=../../secret.csv"), 422, "ask.file-missing"},
		{"sheet in no form", get("/api/sheet/bass-head/exe"), 404, IDNone},
		{"question of a job that climbs", request(http.MethodPost, "/api/ask/check", `{"job":"../outside"}`), 404, IDName},
		{"list of a folder of the page", get("/assets/"), 404, IDNone},
		{"list of the folder of jobs", get("/jobs/"), 404, IDNone},
		{"list of a job's files", get("/api/jobs/bass-head/files/"), 404, IDNone},
		{"source of the page", get("/ui/dist/.keep"), 404, IDNone},
	}
}

func bodies() []hostile {
	post := func(path, body string) *http.Request { return request(http.MethodPost, path, body) }
	long := strings.Repeat(" ", mostBody+1)
	chunked := post("/api/edit", long)
	chunked.ContentLength = -1
	longer := sound()
	longer.ContentLength = shop.MostRecordingBytes + 1
	disguised := request(http.MethodPut, "/api/jobs/a%2frecordings%2fb.wav", long)
	disguised.ContentLength = -1
	return []hostile{
		{"body that is too long", post("/api/edit", long), 413, IDTooBig},
		{"body that is too long and does not say so", chunked, 413, IDTooBig},
		{"file that is too long", request(http.MethodPut, "/api/jobs/bass-head/files/a.csv", strings.Repeat("1", mostFileBody+1)), 413, IDTooBig},
		{"recording that is too long", longer, 413, IDTooBig},
		{"job with the address of a recording in its name", disguised, 413, IDTooBig},
		{"take that is none", post("/api/curve/write", `{"number":1,"take":{}}`), 422, IDRequest},
		{"job that is too long", request(http.MethodPut, "/api/jobs/bass-head",
			`{"version":"","text":"`+strings.Repeat("#", job.MaxBytes+1)+`"}`), 413, IDTooBig},
		{"body of another type", with(post("/api/edit", `{"text":"","edits":[]}`), "Content-Type", "text/plain"), 415, IDRequest},
		{"question as a form", with(post("/api/ask/check", `{"job":"bass-head"}`), "Content-Type", "application/x-www-form-urlencoded"), 415, IDRequest},
		{"body of a type that is no type", with(post("/api/ask/check", `{}`), "Content-Type", "application/json; ;"), 415, IDRequest},
		{"new job as a form", with(post("/api/jobs", `{"answers":{}}`), "Content-Type", "multipart/form-data; boundary=x"), 415, IDRequest},
		{"body that is half", post("/api/edit", `{"text":`), 400, IDRequest},
		{"body that is no table", post("/api/ask/check", `[]`), 400, IDRequest},
		{"body that is missing", post("/api/edit", ``), 400, IDRequest},
		{"field of another type", post("/api/edit", `{"text":3,"edits":[]}`), 422, IDRequest},
		{"field that is not there", post("/api/edit", `{"text":"","edits":[],"more":1}`), 422, IDRequest},
		{"job id of another type", post("/api/ask/check", `{"job":7}`), 400, IDRequest},
		{"question that is none", post("/api/ask/nothing", `{"job":"bass-head"}`), 404, IDNone},
		{"parts kept that a question does not find", post("/api/keep/bands", `{"job":"bass-head"}`), 404, IDNone},
		{"wrong method on a list", request(http.MethodDelete, "/api/jobs", ""), 405, IDNone},
		{"wrong method on a question", request(http.MethodGet, "/api/ask/bands", ""), 405, IDNone},
		{"wrong method on a job", post("/api/jobs/bass-head", `{}`), 405, IDNone},
		{"wrong method on the page", post("/", `{}`), 405, IDNone},
		{"method that is none", request("BREW", "/api/jobs", ""), 405, IDNone},
		{"write to no place", request(http.MethodPut, "/nowhere", `{}`), 404, IDNone},
	}
}

// What a hostile or broken request gets is one clear refusal; nothing outside
// the folder is read, and nothing at all is written.
func TestHostileRequests(t *testing.T) {
	folder := house(t)
	before := everything(t, filepath.Dir(folder))
	h := pageOf(t, folder, os.Stderr).local()
	for _, list := range [][]hostile{elsewhere(), paths(), bodies()} {
		for _, c := range list {
			t.Run(c.name, func(t *testing.T) {
				w := sent(h, c.send)
				if w.Code != c.want {
					t.Errorf("status %d, want %d: %.300s", w.Code, c.want, w.Body)
				}
				guarded(t, w)
				if c.id != "" && !strings.Contains(w.Body.String(), `"id":"`+string(c.id)+`"`) {
					t.Errorf("no finding %s in %.300s", c.id, w.Body)
				}
				if c.want == http.StatusMethodNotAllowed && w.Header().Get("Allow") == "" {
					t.Error("not said which methods are allowed")
				}
			})
		}
	}
	same(t, before, everything(t, filepath.Dir(folder)))
}

func same(t *testing.T, before, after map[string]string) {
	t.Helper()
	for name := range before {
		if after[name] != before[name] {
			t.Errorf("%s is not as it was", name)
		}
	}
	for name := range after {
		if _, was := before[name]; !was {
			t.Errorf("%s is new", name)
		}
	}
}

// guarded checks what every reply must have, and must not.
func guarded(t *testing.T, w *httptest.ResponseRecorder) {
	t.Helper()
	h := w.Header()
	rules := h.Get("Content-Security-Policy")
	if !strings.HasPrefix(rules, "default-src 'none'") || strings.Contains(rules, "unsafe-eval") || strings.Contains(rules, "*") ||
		!strings.Contains(rules, "frame-ancestors") || !strings.Contains(rules, "base-uri 'none'") {
		t.Errorf("policy %q", rules)
	}
	for _, rule := range strings.Split(rules, "; ") {
		if strings.HasPrefix(rule, "script-src") && rule != "script-src 'self'" {
			t.Errorf("scripts from elsewhere or in line: %s", rule)
		}
	}
	if h.Get("X-Content-Type-Options") != "nosniff" || h.Get("Referrer-Policy") != "no-referrer" ||
		h.Get("Cross-Origin-Resource-Policy") != "same-origin" || h.Get("Access-Control-Allow-Origin") != "" {
		t.Errorf("headers %v", h)
	}
	if w.Body.Len() > 0 && h.Get("Content-Type") == "" {
		t.Error("what it is is not said")
	}
	if to := h.Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//")) {
		t.Errorf("leads to %s", to)
	}
	if strings.Contains(w.Body.String(), secret) {
		t.Error("what is outside was read")
	}
}

// The page's own requests pass, with the same headers on every reply.
func TestOwnRequestsPass(t *testing.T) {
	h := newPage(t).local()
	navigate := without(request(http.MethodGet, "/", ""), "Origin")
	for _, c := range []struct {
		name string
		send *http.Request
		want int
	}{
		{"the list", request(http.MethodGet, "/api/jobs", ""), 200},
		{"a browser that says nothing", without(request(http.MethodGet, "/api/jobs", ""), "Origin", "Sec-Fetch-Site"), 200},
		{"by its other name", host(without(request(http.MethodGet, "/api/jobs", ""), "Origin"), "LOCALHOST:8484"), 200},
		{"a write of its own", save(), 204},
		{"a recording of its own", sound(), 204},
		{"the same again", sound(), 204},
		{"the recordings beside a job", request(http.MethodGet, "/api/jobs/bass-head/recordings", ""), 200},
		{"the head of a test recording", request(http.MethodHead, "/api/takes/bass-head/wav", ""), 200},
		{"a question without a type", without(request(http.MethodPost, "/api/ask/check", `{"job":"bass-head"}`), "Content-Type"), 200},
		{"JSON in a set of letters", with(request(http.MethodPost, "/api/edit", `{"text":"","edits":[]}`), "Content-Type", "application/json; charset=utf-8"), 200},
		{"the sheet", request(http.MethodGet, "/api/sheet/bass-head/html", ""), 200},
		{"the sheet as PDF", request(http.MethodGet, "/api/sheet/bass-head/pdf", ""), 200},
		{"only the head", request(http.MethodHead, "/api/jobs", ""), 200},
		{"typed into the browser", with(navigate, "Sec-Fetch-Site", "none"), 0},
		{"a link from elsewhere to the page", with(without(request(http.MethodGet, "/", ""), "Origin"),
			"Sec-Fetch-Site", "cross-site", "Sec-Fetch-Mode", "navigate"), 0},
	} {
		t.Run(c.name, func(t *testing.T) {
			w := sent(h, c.send)
			want := c.want
			if want == 0 { // the page itself, which may not have been built
				want = map[bool]int{true: 200, false: 503}[strings.Contains(w.Body.String(), "<div id")]
			}
			if w.Code != want {
				t.Errorf("status %d, want %d: %.300s", w.Code, want, w.Body)
			}
			guarded(t, w)
		})
	}
}
