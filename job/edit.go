package job

import (
	"encoding"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
)

// Edit is one change to a job: the keys that lead to a value, and the value
// as it would be typed into the file. An entry of a list is named by its name
// (a wanted band by its band) or by its number from 0; the number one past the
// end makes a new entry. A blank value clears; Remove takes an entry of a list
// or an optional table out.
type Edit struct {
	Path   []string `json:"path"`
	Value  string   `json:"value"`
	Remove bool     `json:"remove,omitempty"`
}

// IDEditPath: an edit of a key that is not in a job. key.
// "A job has no {key} that could be changed." Hint: "docs/job-file.md lists the keys."
const IDEditPath finding.ID = "job.edit-path"

// View gives a job as tables, lists and texts under the keys of its file,
// values as Encode writes them; what is blank is left out. Numbers stay
// numbers and truths truths.
func View(j *Job) map[string]any { return viewTable(schema(), reflect.ValueOf(j).Elem()) }

func viewTable(t *table, base reflect.Value) map[string]any {
	view := map[string]any{}
	for _, e := range t.entries {
		if !bare(e, base) {
			view[e.key] = viewEntry(e, base)
		}
	}
	return view
}

func viewEntry(e *entry, base reflect.Value) any {
	field := base.FieldByIndex(e.field)
	switch {
	case e.form == formTables:
		list := make([]any, field.Len())
		for i := range list {
			list[i] = viewTable(e.table, field.Index(i))
		}
		return list
	case e.form == formTable && e.optional:
		return viewTable(e.table, field.Elem())
	case e.form == formTable:
		return viewTable(e.table, base)
	}
	if e.optional {
		field = field.Elem()
	}
	if text, ok := field.Interface().(encoding.TextMarshaler); ok && e.form == formQuantity {
		if written, err := text.MarshalText(); err == nil {
			return string(written)
		}
	}
	return field.Interface()
}

// Change makes edits to a text, in their order, and writes them into it;
// everything else stays as Update promises. The error is a finding.List.
func Change(name string, text []byte, edits []Edit) ([]byte, error) {
	changed, found := Decode(name, text)
	if found.Err() != nil {
		return nil, found.Err()
	}
	for _, e := range edits {
		at := finding.Place{File: name}
		if err := e.make(schema(), reflect.ValueOf(changed).Elem(), e.Path, at); err != nil {
			return nil, err
		}
	}
	return Update(text, changed)
}

func (e Edit) lost(at finding.Place) error {
	return finding.New(IDEditPath, finding.Error, at, finding.Args{"key": clip(strings.Join(e.Path, "."))})
}

// make follows the keys that are left from a table on.
func (e Edit) make(t *table, base reflect.Value, keys []string, at finding.Place) error {
	if len(keys) == 0 {
		return e.lost(at)
	}
	into := t.find(keys[0])
	if into == nil {
		return e.lost(at)
	}
	field, rest := base.FieldByIndex(into.field), keys[1:]
	switch {
	case into.form == formTables:
		return e.inList(into, field, rest, at)
	case into.form == formTable && into.optional:
		if e.Remove && len(rest) == 0 {
			field.SetZero()
			return nil
		}
		if field.IsNil() {
			field.Set(reflect.New(field.Type().Elem()))
		}
		return e.make(into.table, field.Elem(), rest, at)
	case into.form == formTable:
		return e.make(into.table, base, rest, at)
	case into.form == formSet && len(rest) == 1:
		return e.inSet(field, rest[0])
	case len(rest) > 0:
		return e.lost(at)
	}
	return e.leaf(into, field, at)
}

func (e Edit) inList(list *entry, field reflect.Value, keys []string, at finding.Place) error {
	if len(keys) == 0 {
		return e.lost(at)
	}
	i := entryNamed(list, field, keys[0])
	switch {
	case i < 0 || i > field.Len() || e.Remove && i == field.Len():
		return e.lost(at)
	case e.Remove && len(keys) == 1:
		left := reflect.AppendSlice(reflect.MakeSlice(field.Type(), 0, field.Len()), field.Slice(0, i))
		field.Set(reflect.AppendSlice(left, field.Slice(i+1, field.Len())))
		return nil
	case i == field.Len():
		field.Set(reflect.Append(field, reflect.Zero(field.Type().Elem())))
	}
	return e.make(list.table, field.Index(i), keys[1:], at)
}

// entryNamed finds an entry by its name, else by its number; -1: neither.
func entryNamed(list *entry, field reflect.Value, word string) int {
	for _, key := range []string{"name", "band"} {
		named := list.table.find(key)
		if named == nil || named.form != formText {
			continue
		}
		for i := range field.Len() {
			if field.Index(i).FieldByIndex(named.field).String() == word {
				return i
			}
		}
	}
	if i, err := strconv.Atoi(word); err == nil {
		return i
	}
	return -1
}

func (e Edit) inSet(field reflect.Value, key string) error {
	if field.IsNil() {
		field.Set(reflect.MakeMap(field.Type()))
	}
	var value reflect.Value // none: the key goes
	if !e.Remove && !blank(e.Value) {
		value = reflect.ValueOf(e.Value)
	}
	field.SetMapIndex(reflect.ValueOf(key), value)
	return nil
}

// leaf reads the value as the file's decoder would read it typed there.
func (e Edit) leaf(into *entry, field reflect.Value, at finding.Place) error {
	if e.Remove || blank(e.Value) {
		field.SetZero()
		return nil
	}
	typed := &node{kind: kindText, text: e.Value}
	switch into.form {
	case formTexts:
		typed = &node{kind: kindList}
		for line := range strings.Lines(e.Value) {
			if line = strings.TrimSpace(line); line != "" {
				typed.items = append(typed.items, &node{kind: kindText, text: line})
			}
		}
		field.SetZero()
	case formRows:
		rows, err := ReadRows(e.Value)
		if err != nil {
			return placed(err, at, strings.Join(e.Path, "."), e.Value)
		}
		field.Set(reflect.ValueOf(rows))
		return nil
	case formTruth:
		typed.kind = kindTruth
		if !slices.Contains([]string{"true", "false"}, e.Value) {
			typed.kind = kindText // and so refused
		}
	case formWhole, formNumber:
		text := strings.ReplaceAll(strings.TrimSpace(e.Value), ",", ".")
		if _, err := strconv.ParseFloat(text, 64); err == nil {
			typed.kind, typed.text = kindNumber, text
		}
		if _, err := strconv.ParseInt(text, 10, 64); err == nil {
			typed.kind = kindWhole
		}
	}
	typed.at.end = len(e.Value) // the value is all the text there is
	d := &decoder{name: at.File, tree: &tree{text: []byte(e.Value), lines: []int{0}}}
	d.leaf(typed, into, field, e.Path)
	found := slices.Clone(d.list)
	for i := range found {
		found[i].Place = at // there is no line yet
	}
	return found.Err()
}
