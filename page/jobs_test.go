package page

import (
	"encoding/json"
	"io"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/job"
	"bandwright/shop"
)

func ids(rows []shop.Row) (list []string) {
	for _, r := range rows {
		list = append(list, r.ID)
	}
	return list
}

func listed(t *testing.T, h http.Handler) []shop.Row {
	t.Helper()
	return read[[]shop.Row](t, h, http.MethodGet, "/api/jobs", nil)
}

// The list names every job with what it is of, also one that does not open;
// and nothing else that lies in the folder.
func TestListOfJobs(t *testing.T) {
	folder := house(t)
	for name, text := range map[string]string{"broken/job.toml": "title = [", "single.toml": "format = 1\ntitle = \"By itself\"\n",
		"empty/readme.txt": "", "notes.txt": "", "archived.txt": ""} {
		at := filepath.Join(folder, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(at), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(at, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	rows := listed(t, pageOf(t, folder, io.Discard).local())
	if got := strings.Join(ids(rows), " "); got != "bass-head broken single.toml" {
		t.Fatalf("listed are %s", got)
	}
	demo := rows[0]
	if !strings.Contains(demo.Title, "Six-band") || demo.Amp == "" || demo.Bands != 6 || !demo.Invented || demo.Archived || demo.Changed.IsZero() || demo.Problem != "" {
		t.Errorf("the demo is listed as %+v", demo)
	}
	if rows[1].Problem == "" || rows[1].Title != "broken" {
		t.Errorf("a broken job is listed as %+v", rows[1])
	}
	if none := listed(t, pageOf(t, t.TempDir(), io.Discard).local()); none == nil || len(none) != 0 {
		t.Errorf("an empty folder is listed as %v", none)
	}
}

// A new job is made of the dozen answers, computes at once, and is kept; where
// an answer cannot be used nothing is.
func TestNewJob(t *testing.T) {
	folder := t.TempDir()
	h := pageOf(t, folder, io.Discard).local()
	questions := read[[]job.Question](t, h, http.MethodGet, "/api/questions", nil)
	if len(questions) < 12 {
		t.Fatalf("%d questions", len(questions))
	}
	answers := map[string]string{}
	for _, q := range questions {
		answers[q.Key] = q.Default
	}
	answers["title"], answers["bands"] = "Five bands / März", "63, 160, 400, 1k, 2k5"
	type body struct {
		Answers map[string]string `json:"answers"`
	}
	id := read[named](t, h, http.MethodPost, "/api/jobs", body{answers}).ID
	if id != "five-bands-m-rz" {
		t.Errorf("kept as %s", id)
	}
	if again := read[named](t, h, http.MethodPost, "/api/jobs", body{answers}).ID; again != id+"-2" {
		t.Errorf("the next of the same title is kept as %s", again)
	}
	opened := read[Opened](t, h, http.MethodGet, "/api/jobs/"+id, nil)
	if opened.Job["title"] != "Five bands / März" || len(opened.Job["band"].([]any)) != 5 {
		t.Errorf("opens as %v", opened.Job["title"])
	}
	if w := sent(h, request(http.MethodPost, "/api/ask/bands", `{"job":"`+id+`"}`)); w.Code != 200 || strings.Contains(w.Body.String(), `"answer":null`) {
		t.Errorf("its bands: %d %.300s", w.Code, w.Body)
	}
	before := everything(t, folder)
	for key, wrong := range map[string]string{"bands": "many", "boost": "-3 dB", "feedback": "0", "drawing": "magic", "capacitors": "E7"} {
		bad := map[string]string{key: wrong}
		w := sent(h, request(http.MethodPost, "/api/jobs", mustJSON(t, body{bad})))
		var p struct {
			Detail, Hint string
			Findings     []any
		}
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || w.Code != 422 || p.Detail == "" || p.Hint == "" || len(p.Findings) == 0 {
			t.Errorf("%s %q gives %d: %s", key, wrong, w.Code, w.Body)
		}
	}
	same(t, before, everything(t, folder))
}

func mustJSON(t *testing.T, v any) string {
	t.Helper()
	text, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// put saves a text made from a version, and gives the status and the reply.
func put(t *testing.T, h http.Handler, id, text, version string) (int, saved) {
	t.Helper()
	w := sent(h, request(http.MethodPut, "/api/jobs/"+id, mustJSON(t, map[string]string{"text": text, "version": version})))
	var s saved
	if err := json.Unmarshal(w.Body.Bytes(), &s); err != nil {
		t.Fatalf("%v: %s", err, w.Body)
	}
	return w.Code, s
}

// A save names the version it was made from; over another it is refused, and
// what is there stays.
func TestSaveAndConflict(t *testing.T) {
	folder := house(t)
	h := pageOf(t, folder, io.Discard).local()
	first := read[Opened](t, h, http.MethodGet, "/api/jobs/bass-head", nil)
	if shop.Version([]byte(first.Text)) != first.Version || first.ID != "bass-head" || len(first.Job) == 0 {
		t.Fatalf("opened as %s, %s", first.ID, first.Version)
	}
	mine := first.Text + "# mine\n"
	code, kept := put(t, h, "bass-head", mine, first.Version)
	if code != 200 || kept.Version != shop.Version([]byte(mine)) {
		t.Fatalf("saved with %d as %s", code, kept.Version)
	}
	if code, _ := put(t, h, "bass-head", first.Text+"# theirs\n", first.Version); code != http.StatusConflict {
		t.Errorf("over a changed version gives %d", code)
	}
	if code, again := put(t, h, "bass-head", mine, first.Version); code != 200 || again != kept {
		t.Errorf("the same text again gives %d, %v", code, again)
	}
	if code, _ := put(t, h, "bass-head", "title = [", kept.Version); code != 200 {
		t.Errorf("a text half made is kept too; it gives %d", code)
	}
	if broken := read[map[string]any](t, h, http.MethodGet, "/api/jobs/bass-head", nil); broken["job"] != nil || len(broken["findings"].([]any)) == 0 || broken["text"] != "title = [" {
		t.Errorf("half a text opens as %+v", broken)
	}
	at := filepath.Join(folder, "bass-head", "job.toml")
	if err := os.WriteFile(at, []byte("by another hand \xff"), 0o666); err != nil {
		t.Fatal(err)
	}
	odd := read[map[string]any](t, h, http.MethodGet, "/api/jobs/bass-head", nil)
	if code, _ := put(t, h, "bass-head", mine, odd["version"].(string)); code != http.StatusConflict {
		t.Errorf("over what cannot be shown gives %d", code)
	}
	if text, err := os.ReadFile(at); err != nil || string(text) != "by another hand \xff" {
		t.Errorf("there is %q, %v", text, err)
	}
	if code, _ := put(t, h, "nobody", mine, ""); code != http.StatusNotFound {
		t.Errorf("a job that is not there gives %d", code)
	}
}

// Two tabs that save from the same version: one is kept, the other told so.
func TestTwoTabsSave(t *testing.T) {
	h := pageOf(t, house(t), io.Discard).local()
	first := read[Opened](t, h, http.MethodGet, "/api/jobs/bass-head", nil)
	const tabs = 8
	codes := make(chan int, tabs)
	for n := range tabs {
		go func() {
			code, _ := put(t, h, "bass-head", first.Text+strings.Repeat("#", n+1)+"\n", first.Version)
			codes <- code
		}()
	}
	count := map[int]int{}
	for range tabs {
		count[<-codes]++
	}
	if count[200] != 1 || count[409] != tabs-1 {
		t.Errorf("of %d tabs: %v", tabs, count)
	}
}

// A copy has all that the job has and goes its own way; a job put away is
// listed as such and can be taken back.
func TestDuplicateAndArchive(t *testing.T) {
	folder := house(t)
	if err := os.Remove(filepath.Join(folder, "bass-head", "led-out.csv")); err != nil {
		t.Fatal(err)
	}
	h := pageOf(t, folder, io.Discard).local()
	copied := read[named](t, h, http.MethodPost, "/api/jobs/bass-head/duplicate", nil).ID
	if copied == "bass-head" || strings.Contains(copied, "/") {
		t.Fatalf("copied to %q", copied)
	}
	there, here := everything(t, filepath.Join(folder, "bass-head")), everything(t, filepath.Join(folder, copied))
	delete(there, ".hidden.csv")
	delete(there, "there.wav") // recordings stay
	if !strings.Contains(here["job.toml"], "(copy)") {
		t.Error("its title does not say that it is a copy")
	}
	here["job.toml"] = there["job.toml"]
	same(t, there, here)
	if answers := sent(h, request(http.MethodPost, "/api/ask/compare", `{"job":"`+copied+`"}`)); answers.Code != 200 || strings.Contains(answers.Body.String(), `"answer":null`) {
		t.Errorf("the copy answers %d %.300s", answers.Code, answers.Body)
	}
	for _, away := range []bool{true, true, false, false} {
		word := map[bool]string{true: "archive", false: "restore"}[away]
		if w := sent(h, request(http.MethodPost, "/api/jobs/bass-head/"+word, "{}")); w.Code != http.StatusNoContent {
			t.Fatalf("%s gives %d: %s", word, w.Code, w.Body)
		}
		for _, r := range listed(t, h) {
			if r.Archived != (away && r.ID == "bass-head") {
				t.Errorf("after %s, %s is archived: %v", word, r.ID, r.Archived)
			}
		}
	}
	for _, path := range []string{"/api/jobs/nobody/duplicate", "/api/jobs/nobody/archive", "/api/jobs/nobody/restore"} {
		if w := sent(h, request(http.MethodPost, path, "{}")); w.Code != http.StatusNotFound {
			t.Errorf("%s gives %d", path, w.Code)
		}
	}
}

// Files go up and come down as they are, with versions as a job's text has.
func TestFilesUpAndDown(t *testing.T) {
	h := pageOf(t, house(t), io.Discard).local()
	at := func(name string) string { return "/api/jobs/bass-head/files/" + name }
	up := func(name, data, based string) *http.Request {
		r := without(request(http.MethodPut, at(name), data), "Content-Type")
		if based != "" {
			r.Header.Set("If-Match", `"`+based+`"`)
		}
		return r
	}
	data := "Hz;dB\r\n20;0,5\r\n\xff\x00"
	version := shop.Version([]byte(data))
	for _, c := range []struct {
		name string
		send *http.Request
		want int
	}{
		{"new", up("curves%2Fa.csv", data, ""), 204},
		{"the same again", up("curves%2Fa.csv", data, ""), 204},
		{"another without saying over which", up("curves%2Fa.csv", "other", ""), 409},
		{"over another version", up("curves%2Fa.csv", "other", shop.Version([]byte("x"))), 409},
		{"over one that is not there", up("b.csv", data, version), 409},
		{"over the version that is there", up("curves%2Fa.csv", "other", version), 204},
		{"empty", up("empty.txt", "", ""), 204},
	} {
		if w := sent(h, c.send); w.Code != c.want || c.want == 204 && w.Header().Get("ETag") == "" {
			t.Errorf("%s: %d, want %d: %s", c.name, w.Code, c.want, w.Body)
		}
	}
	if w := sent(h, up("curves%2Fa.csv", data, shop.Version([]byte("other")))); w.Code != 204 {
		t.Fatalf("%d: %s", w.Code, w.Body)
	}
	w := sent(h, request(http.MethodGet, at("curves%2Fa.csv"), ""))
	if w.Code != 200 || w.Body.String() != data || w.Header().Get("ETag") != `"`+version+`"` || !strings.HasPrefix(w.Header().Get("Content-Type"), "text/plain") {
		t.Errorf("comes down as %d %q %v", w.Code, w.Body, w.Header())
	}
	guarded(t, w)
	if w := sent(h, request(http.MethodGet, at("b.csv"), "")); w.Code != http.StatusNotFound {
		t.Errorf("what was refused gives %d", w.Code)
	}
}

// What a dropped curve file is taken for is told, and nothing is kept.
func TestCurveUnderstood(t *testing.T) {
	folder := house(t)
	before := everything(t, folder)
	h := pageOf(t, folder, io.Discard).local()
	understood := func(text string) (points float64, findings []any) {
		u := read[map[string]any](t, h, http.MethodPost, "/api/curve/understand", map[string]any{"bytes": []byte(text), "read_as": map[string]string{}})
		return u["answer"].(map[string]any)["points"].(float64), u["findings"].([]any)
	}
	if points, found := understood("Hz,dB\n20,0\n100,3\n1000,6\n"); points != 3 || len(found) > 0 {
		t.Errorf("a plain curve has %v points, and %v", points, found)
	}
	if points, found := understood("no numbers at all\n"); points != 0 || len(found) == 0 {
		t.Errorf("no curve has %v points, and %v", points, found)
	}
	same(t, before, everything(t, folder))
}

// An edit gives the text with the change and what it then says; nothing is kept.
func TestEdit(t *testing.T) {
	folder := house(t)
	before := everything(t, folder)
	h := pageOf(t, folder, io.Discard).local()
	text := read[Opened](t, h, http.MethodGet, "/api/jobs/bass-head", nil).Text
	v := read[View](t, h, http.MethodPost, "/api/edit", map[string]any{"text": text,
		"edits": []map[string]any{{"path": []string{"title"}, "value": "Another title"}}})
	if v.Job["title"] != "Another title" || !strings.Contains(v.Text, "Another title") || strings.Count(v.Text, "#") != strings.Count(text, "#") {
		t.Errorf("edited to %.200s", v.Text)
	}
	same(t, before, everything(t, folder))
}
