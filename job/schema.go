package job

import (
	"encoding"
	"reflect"
	"strings"
	"sync"
)

// form is how a value is written.
type form uint8

const (
	formText     form = iota // "…"
	formTexts                // [ "…", … ]
	formTruth                // true, false
	formWhole                // 1
	formNumber               // 0.004, may be left out
	formRows                 // [ [0, 0], … ]
	formQuantity             // "4k7", read by its type
	formSet                  // { esr = "1 ohm" }, keys free
	formTable                // [table] or { … }
	formTables               // [[table]] or [ { … } ]
)

// table is the keys of one table in the order they are written.
type table struct{ entries []*entry }

// entry is one key: how it is written and which field holds it. A field's
// path starts at the job, at an item of a list or at an optional table,
// whichever is nearest above.
type entry struct {
	key      string
	form     form
	field    []int
	optional bool // a pointer: a number or a table that may be absent
	words    []string
	table    *table // of formTable and formTables
}

func (t *table) find(key string) *entry {
	for _, e := range t.entries {
		if e.key == key {
			return e
		}
	}
	return nil
}

func (t *table) keys() []string {
	keys := make([]string, len(t.entries))
	for i, e := range t.entries {
		keys[i] = e.key
	}
	return keys
}

// schema gives the keys of a whole document, read once from the tags of Job.
var schema = sync.OnceValue(func() *table {
	t := &table{}
	t.grow(reflect.TypeFor[Job](), nil)
	return t
})

var textReader = reflect.TypeFor[encoding.TextUnmarshaler]()

// grow adds the fields of a struct type; prefix is the path that leads to it.
func (t *table) grow(from reflect.Type, prefix []int) {
	for i := range from.NumField() {
		field := from.Field(i)
		tag := field.Tag.Get("toml")
		if tag == "-" {
			continue
		}
		path := append(append([]int{}, prefix...), i)
		into, key := t, tag
		if above, below, dotted := strings.Cut(tag, "."); dotted {
			into, key = t.sub(above, prefix).table, below
		}
		into.add(key, field, path)
	}
}

// sub gives the entry of a table inside, made when it is not there yet.
func (t *table) sub(key string, path []int) *entry {
	e := t.find(key)
	if e == nil {
		e = &entry{key: key, form: formTable, field: path, table: &table{}}
		t.entries = append(t.entries, e)
	}
	return e
}

func (t *table) add(key string, field reflect.StructField, path []int) {
	kind := field.Type
	if kind.Kind() == reflect.Struct && !reflect.PointerTo(kind).Implements(textReader) {
		t.sub(key, path).table.grow(kind, path)
		return
	}
	e := &entry{key: key, field: path, words: strings.Fields(field.Tag.Get("words"))}
	if kind.Kind() == reflect.Pointer {
		e.optional, kind = true, kind.Elem()
	}
	e.form = formOf(kind)
	if e.form == formTable || e.form == formTables {
		if kind.Kind() == reflect.Slice {
			kind = kind.Elem()
		}
		e.table = &table{}
		e.table.grow(kind, nil)
	}
	t.entries = append(t.entries, e)
}

func formOf(t reflect.Type) form {
	switch {
	case reflect.PointerTo(t).Implements(textReader):
		return formQuantity
	case t.Kind() == reflect.String:
		return formText
	case t.Kind() == reflect.Bool:
		return formTruth
	case t.Kind() == reflect.Int:
		return formWhole
	case t.Kind() == reflect.Float64:
		return formNumber
	case t.Kind() == reflect.Map:
		return formSet
	case t.Kind() == reflect.Struct:
		return formTable
	case t.Elem().Kind() == reflect.String:
		return formTexts
	case t.Elem().Kind() == reflect.Array:
		return formRows
	case t.Elem().Kind() == reflect.Struct:
		return formTables
	}
	panic("job: no form for " + t.String())
}

// visit calls a function for every key that holds a value and not a table,
// with the keys and list numbers that lead to it.
func (t *table) visit(base reflect.Value, path []any, see func(e *entry, v reflect.Value, path []any)) {
	for _, e := range t.entries {
		here := append(path[:len(path):len(path)], e.key)
		switch v := base.FieldByIndex(e.field); {
		case e.form == formTables:
			for i := range v.Len() {
				e.table.visit(v.Index(i), append(here[:len(here):len(here)], i), see)
			}
		case e.form == formTable && !e.optional:
			e.table.visit(base, here, see)
		case e.form == formTable && v.IsNil():
		case e.form == formTable:
			e.table.visit(v.Elem(), here, see)
		default:
			see(e, v, here)
		}
	}
}
