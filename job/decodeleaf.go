package job

import (
	"encoding"
	"maps"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
)

// leaf fills a field that is not a table.
func (d *decoder) leaf(n *node, e *entry, field reflect.Value, path []string) {
	switch e.form {
	case formText:
		if d.want(n, n.kind == kindText, e, path) {
			field.SetString(n.text)
		}
	case formTexts:
		if d.want(n, n.kind == kindList && all(n.items, kindText), e, path) {
			for _, item := range n.items {
				field.Set(reflect.Append(field, reflect.ValueOf(item.text)))
			}
		}
	case formTruth:
		if d.want(n, n.kind == kindTruth, e, path) {
			field.SetBool(n.text == "true")
		}
	case formWhole:
		d.whole(n, e, field, path)
	case formNumber:
		if x, ok := d.number(n, e, path); ok {
			field.Set(reflect.ValueOf(&x))
		}
	case formRows:
		d.rows(n, e, field, path)
	case formQuantity:
		if d.want(n, n.kind == kindText, e, path) {
			d.quantity(n, e, field, path)
		}
	case formSet:
		if d.want(n, n.kind == kindTable, e, path) {
			d.set(n, e, field, path)
		}
	}
}

func all(items []*node, want ...kind) bool {
	return !slices.ContainsFunc(items, func(n *node) bool { return !slices.Contains(want, n.kind) })
}

func (d *decoder) whole(n *node, e *entry, field reflect.Value, path []string) {
	if !d.want(n, n.kind == kindWhole, e, path) {
		return
	}
	x, err := strconv.ParseInt(strings.ReplaceAll(n.text, "_", ""), 0, 64)
	if err != nil {
		d.report(IDBadValue, n.at.start, finding.Args{"key": strings.Join(path, "."), "read": clip(n.text)})
		return
	}
	field.SetInt(x)
}

func (d *decoder) number(n *node, e *entry, path []string) (float64, bool) {
	if !d.want(n, n.kind == kindNumber || n.kind == kindWhole, e, path) {
		return 0, false
	}
	x, err := strconv.ParseFloat(strings.ReplaceAll(n.text, "_", ""), 64)
	if err != nil && n.kind == kindWhole {
		var i int64
		i, err = strconv.ParseInt(strings.ReplaceAll(n.text, "_", ""), 0, 64)
		x = float64(i)
	}
	if err != nil || x-x != 0 {
		d.report(IDNotFinite, n.at.start, finding.Args{"key": strings.Join(path, ".")})
		return 0, false
	}
	return x, true
}

func (d *decoder) rows(n *node, e *entry, field reflect.Value, path []string) {
	if !d.want(n, n.kind == kindList, e, path) {
		return
	}
	var rows [][2]float64
	for i, row := range n.items {
		if row.kind != kindList || len(row.items) != 2 {
			d.report(IDBadLaw, row.at.start, finding.Args{"row": i + 1, "why": "two-numbers"})
			return
		}
		travel, ok1 := d.number(row.items[0], &entry{form: formNumber}, path)
		share, ok2 := d.number(row.items[1], &entry{form: formNumber}, path)
		if !ok1 || !ok2 {
			return
		}
		rows = append(rows, [2]float64{travel, share})
	}
	field.Set(reflect.ValueOf(rows))
}

// quantity reads a value with a unit. Blank text is a value not given.
func (d *decoder) quantity(n *node, e *entry, field reflect.Value, path []string) {
	if strings.TrimSpace(n.text) == "" {
		return
	}
	kind := field.Type()
	if e.optional {
		kind = kind.Elem()
	}
	x := reflect.New(kind)
	err := x.Interface().(encoding.TextUnmarshaler).UnmarshalText([]byte(n.text))
	if err != nil {
		d.list = append(d.list, placed(err, d.place(n.at.start), strings.Join(path, "."), n.text)...)
		return
	}
	if !e.optional {
		x = x.Elem()
	}
	field.Set(x)
}

// placed gives the findings of a value that could not be read the place where
// it stands.
func placed(err error, at finding.Place, key, read string) finding.List {
	list, ok := finding.From(err)
	if !ok || list.Worst() < finding.Error {
		list = finding.List{finding.New(IDBadValue, finding.Error, at, finding.Args{"read": clip(read)})}
	}
	list = slices.Clone(list)
	for i := range list {
		args := finding.Args{"key": key}
		maps.Copy(args, list[i].Args)
		list[i].Place, list[i].Args = at, args
	}
	return list
}

// set fills a part's other properties; numbers and truths may stand without
// quotes.
func (d *decoder) set(n *node, e *entry, field reflect.Value, path []string) {
	for _, m := range n.members {
		key := append(slices.Clone(path), m.key)
		scalar := all([]*node{m.value}, kindText, kindTruth, kindWhole, kindNumber)
		if !d.want(m.value, scalar, &entry{form: formText}, key) {
			continue
		}
		if field.IsNil() {
			field.Set(reflect.MakeMap(field.Type()))
		}
		field.SetMapIndex(reflect.ValueOf(m.key), reflect.ValueOf(m.value.text))
	}
}
