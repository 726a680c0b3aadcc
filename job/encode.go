package job

import (
	"encoding"
	"fmt"
	"reflect"
	"strconv"
	"strings"
)

// Encode writes a job as a text of its own, keys in the reference's order,
// what is blank left out. To change a job that has a text, use Update, which
// keeps its comments. A job that Check finds errors in gives them.
func Encode(j *Job) ([]byte, error) {
	if err := Check(j).Err(); err != nil {
		return nil, err
	}
	var w strings.Builder
	base := reflect.ValueOf(j).Elem()
	writeKeys(&w, schema(), base)
	for _, e := range schema().entries {
		for _, block := range blocks(e, base) {
			w.WriteString("\n" + block)
		}
	}
	return []byte(w.String()), nil
}

// writeKeys writes the lines of a table that is under a header.
func writeKeys(w *strings.Builder, t *table, base reflect.Value) {
	for _, e := range t.entries {
		if t == schema() && e.table != nil {
			continue
		}
		if text := inline(e, base); text != "" {
			fmt.Fprintf(w, "%s = %s\n", e.key, text)
		}
	}
}

// blocks gives the texts of a table or list at the top, each with its header.
func blocks(e *entry, base reflect.Value) []string {
	if e.table == nil || bare(e, base) {
		return nil
	}
	var all []string
	switch field := base.FieldByIndex(e.field); {
	case e.form == formTables:
		for i := range field.Len() {
			all = append(all, block("[["+e.key+"]]", e.table, field.Index(i)))
		}
	case e.optional:
		all = append(all, block("["+e.key+"]", e.table, field.Elem()))
	default:
		all = append(all, block("["+e.key+"]", e.table, base))
	}
	return all
}

func block(header string, t *table, base reflect.Value) string {
	var w strings.Builder
	w.WriteString(header + "\n")
	writeKeys(&w, t, base)
	return w.String()
}

// bare says whether a key holds nothing, so that a text need not have it.
func bare(e *entry, base reflect.Value) bool {
	field := base.FieldByIndex(e.field)
	switch {
	case e.form == formTables:
		return field.Len() == 0
	case e.form == formTable && e.optional:
		return field.IsNil()
	case e.form == formTable:
		for _, below := range e.table.entries {
			if !bare(below, base) {
				return false
			}
		}
		return true
	case e.form == formTexts, e.form == formRows, e.form == formSet:
		return field.Len() == 0
	}
	return field.IsZero()
}

// inline writes a value on one line, "" when it holds nothing.
func inline(e *entry, base reflect.Value) string {
	if bare(e, base) {
		return ""
	}
	field := base.FieldByIndex(e.field)
	switch {
	case e.form == formTables:
		items := make([]string, field.Len())
		for i := range items {
			items[i] = inlineTable(e.table, field.Index(i))
		}
		return "[" + strings.Join(items, ", ") + "]"
	case e.form == formTable && e.optional:
		return inlineTable(e.table, field.Elem())
	case e.form == formTable:
		return inlineTable(e.table, base)
	}
	return leafText(e, field)
}

func inlineTable(t *table, base reflect.Value) string {
	var keys []string
	for _, e := range t.entries {
		if text := inline(e, base); text != "" {
			keys = append(keys, e.key+" = "+text)
		}
	}
	return braces(keys)
}

func braces(keys []string) string {
	if len(keys) == 0 {
		return "{}"
	}
	return "{ " + strings.Join(keys, ", ") + " }"
}

// leafText writes a value that is not a table. What is blank is written as
// blank; a number that is not there, which has no blank, gives "".
func leafText(e *entry, field reflect.Value) string {
	if e.optional {
		if field.IsNil() && e.form == formNumber {
			return ""
		}
		if field.IsNil() {
			return `""`
		}
		field = field.Elem()
	}
	switch e.form {
	case formText:
		return quote(field.String())
	case formTruth:
		return strconv.FormatBool(field.Bool())
	case formWhole:
		return strconv.FormatInt(field.Int(), 10)
	case formNumber:
		return number(field.Float())
	case formQuantity:
		text, err := field.Interface().(encoding.TextMarshaler).MarshalText()
		if err != nil {
			panic("job: " + e.key + " was checked and cannot be written: " + err.Error())
		}
		return quote(string(text))
	}
	return listText(e, field)
}

func listText(e *entry, field reflect.Value) string {
	var items []string
	switch e.form {
	case formTexts:
		for i := range field.Len() {
			items = append(items, quote(field.Index(i).String()))
		}
	case formRows:
		for i := range field.Len() {
			row := field.Index(i)
			items = append(items, "["+number(row.Index(0).Float())+", "+number(row.Index(1).Float())+"]")
		}
	case formSet:
		set := field.Interface().(map[string]string)
		for _, name := range sorted(set) {
			items = append(items, bareKey(name)+" = "+quote(set[name]))
		}
		return braces(items)
	default:
		panic("job: no text for key " + e.key)
	}
	return "[" + strings.Join(items, ", ") + "]"
}

// number writes the shortest text that reads back to the same number.
func number(x float64) string { return strconv.FormatFloat(x, 'g', -1, 64) }

// quote writes a TOML basic string (TOML 1.0, "String").
func quote(text string) string {
	var w strings.Builder
	w.WriteByte('"')
	for _, r := range text {
		switch {
		case r == '"' || r == '\\':
			w.WriteByte('\\')
			w.WriteRune(r)
		case r == '\n':
			w.WriteString(`\n`)
		case r == '\t':
			w.WriteString(`\t`)
		case r < ' ' || r == 0x7f:
			fmt.Fprintf(&w, `\u%04X`, r)
		default:
			w.WriteRune(r)
		}
	}
	w.WriteByte('"')
	return w.String()
}

// bareKey writes a key, in quotes where it needs them.
func bareKey(key string) string {
	if key != "" && !strings.ContainsFunc(key, func(r rune) bool {
		return r > 127 || !isLetter(byte(r)) && (r < '0' || r > '9') && r != '_' && r != '-'
	}) {
		return key
	}
	return quote(key)
}
