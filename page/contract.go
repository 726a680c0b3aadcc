package page

import (
	"encoding"
	"net/http"
	"path"
	"reflect"
	"slices"
	"strings"

	"github.com/danielgtaylor/huma/v2"

	"bandwright/ask"
	"bandwright/report"
)

// schemaName tells types of one name in two rooms apart.
func schemaName(t reflect.Type, hint string) string {
	for t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	name := huma.DefaultSchemaNamer(t, hint)
	room := path.Base(t.PkgPath())
	if t.Name() == "" || room == "." || room == "page" || strings.Contains(t.Name(), "[") {
		return name
	}
	return strings.ToUpper(room[:1]) + room[1:] + name
}

// operation names an operation: "POST /api/jobs/{id}/archive" is
// post-jobs-id-archive.
func operation(method, path string) string {
	words := strings.FieldsFunc(strings.TrimPrefix(path, "/api"), func(r rune) bool { return strings.ContainsRune("/{}.", r) })
	return strings.ToLower(method) + "-" + strings.Join(words, "-")
}

// contract writes the questions, which come from their table, and what is not
// JSON into the description of the page.
func (s *Server) contract() {
	schemas := s.api.OpenAPI().Components.Schemas
	walk := walker{schemas: schemas, seen: map[reflect.Type]bool{}}
	for _, t := range []reflect.Type{reflect.TypeFor[report.Worded](), reflect.TypeFor[Opened](), reflect.TypeFor[Understood]()} {
		walk.visit(t)
	}
	for _, q := range ask.Table() {
		walk.visit(q.Fields)
		walk.visit(q.Gives)
		s.describe(http.MethodPost, "/api/ask/"+q.Name, "the answer that bandwright "+q.Name+" --json prints",
			s.asked(q), answered(schemas, q.Gives))
		if q.Keeps() {
			s.describe(http.MethodPost, "/api/keep/"+q.Name, "the job's text with what "+q.Name+" finds; nothing is kept",
				s.asked(q), schemas.Schema(reflect.TypeFor[View](), true, "View"))
		}
	}
	bench := schemas.Schema(reflect.TypeFor[Bench](), true, "Bench")
	s.describe(http.MethodGet, "/api/listen", "how the page is reached at the bench", nil, bench)
	s.describe(http.MethodPost, "/api/listen", "answer at the bench, off this machine, with a token", nil, bench)
	s.describe(http.MethodDelete, "/api/listen", "answer on this machine alone again", nil, bench)
	s.describeRecordings()
	walk.mayBeNull()
}

// describeRecordings adds what is sent and taken as a recording.
func (s *Server) describeRecordings() {
	sound := map[string]*huma.MediaType{"audio/wav": {Schema: &huma.Schema{Type: huma.TypeString, Format: "binary"}}}
	text := func(name, in string, required bool) *huma.Param {
		return &huma.Param{Name: name, In: in, Required: required, Schema: &huma.Schema{Type: huma.TypeString}}
	}
	put, get := "/api/jobs/{id}/recordings/{name}", "/api/takes/{id}/wav"
	s.api.OpenAPI().AddOperation(&huma.Operation{OperationID: operation(http.MethodPut, put), Method: http.MethodPut, Path: put,
		Summary:     "put a recording beside a job, whole or not at all; 409 where another has the name",
		Parameters:  []*huma.Param{text("id", "path", true), text("name", "path", true)},
		RequestBody: &huma.RequestBody{Required: true, Content: sound}, Responses: map[string]*huma.Response{"204": {Description: "No Content"}}})
	s.api.OpenAPI().AddOperation(&huma.Operation{OperationID: operation(http.MethodGet, get), Method: http.MethodGet, Path: get,
		Summary:    "the test recording that guides through the takes of a job, as bandwright sweep takes --write writes it",
		Parameters: []*huma.Param{text("id", "path", true), text("rate", "query", false), text("bits", "query", false), text("pause", "query", false)},
		Responses:  map[string]*huma.Response{"200": {Description: "OK", Content: sound}}})
}

// describe adds an operation that is answered without the library.
func (s *Server) describe(method, path, summary string, takes, gives *huma.Schema) {
	op := &huma.Operation{OperationID: operation(method, path), Method: method, Path: path, Summary: summary,
		Responses: map[string]*huma.Response{"200": {Description: "OK", Content: map[string]*huma.MediaType{"application/json": {Schema: gives}}}}}
	if takes != nil {
		op.RequestBody = &huma.RequestBody{Required: true, Content: map[string]*huma.MediaType{"application/json": {Schema: takes}}}
	}
	s.api.OpenAPI().AddOperation(op)
}

// asked is what a question takes: what it is about, and its own fields, each
// of which may be left out.
func (s *Server) asked(q ask.Question) *huma.Schema {
	schemas := s.api.OpenAPI().Components.Schemas
	takes := *schemas.SchemaFromRef(schemas.Schema(q.Fields, true, q.Name).Ref)
	takes.Required = nil
	properties := map[string]*huma.Schema{}
	for name, schema := range takes.Properties {
		properties[name] = schema
	}
	for name, schema := range schemas.SchemaFromRef(schemas.Schema(reflect.TypeFor[about](), true, "About").Ref).Properties {
		properties[name] = schema
	}
	takes.Properties = properties
	if !q.Jobless {
		takes.Required = []string{"job"}
	}
	return &takes
}

// answered is report.Reply with its answer's own type.
func answered(schemas huma.Registry, gives reflect.Type) *huma.Schema {
	return &huma.Schema{Type: huma.TypeObject, Required: []string{"answer", "findings"}, Properties: map[string]*huma.Schema{
		"answer":   orNull(schemas.Schema(gives, true, "Answer")),
		"findings": {Type: huma.TypeArray, Items: schemas.Schema(reflect.TypeFor[report.Worded](), true, "Worded")},
	}}
}

func orNull(s *huma.Schema) *huma.Schema {
	return &huma.Schema{AnyOf: []*huma.Schema{s, {Type: "null"}}}
}

// walker tells the library what it does not see of types by itself: that one
// is written as a text, and that a pointer may be null.
type walker struct {
	schemas huma.Registry
	seen    map[reflect.Type]bool
	structs []reflect.Type
}

func (w *walker) visit(t reflect.Type) {
	for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice || t.Kind() == reflect.Array || t.Kind() == reflect.Map {
		t = t.Elem()
	}
	if w.seen[t] {
		return
	}
	w.seen[t] = true
	if t.Implements(reflect.TypeFor[encoding.TextMarshaler]()) && t.Kind() != reflect.String {
		w.schemas.RegisterTypeAlias(t, reflect.TypeFor[string]())
		return
	}
	if t.Kind() != reflect.Struct {
		return
	}
	w.structs = append(w.structs, t)
	for i := range t.NumField() {
		if f := t.Field(i); f.IsExported() {
			w.visit(f.Type)
		}
	}
}

// mayBeNull marks the pointers to tables.
func (w *walker) mayBeNull() {
	all := w.schemas.Map()
	for _, t := range w.structs {
		schema := all[schemaName(t, "")]
		if schema == nil {
			continue
		}
		for _, f := range reflect.VisibleFields(t) {
			name, rest, _ := strings.Cut(f.Tag.Get("json"), ",")
			property := schema.Properties[name]
			if f.Type.Kind() == reflect.Pointer && property != nil && property.Ref != "" &&
				!slices.Contains(strings.Split(rest, ","), "omitempty") {
				schema.Properties[name] = orNull(&huma.Schema{Ref: property.Ref})
			}
		}
	}
}
