package stock

import (
	"strings"

	"bandwright/quantity"
)

// Field is what a column holds.
type Field string

// The fields of a drawer. Ignored is the word for a column that is not used.
const (
	FieldID            Field = "id"
	FieldKind          Field = "kind"
	FieldValue         Field = "value" // as marked
	FieldTolerance     Field = "tolerance"
	FieldMeasured      Field = "measured"
	FieldFrequency     Field = "frequency"
	FieldMode          Field = "mode"
	FieldQ             Field = "q"
	FieldD             Field = "d"
	FieldDCR           Field = "dcr"
	FieldLevel         Field = "level"
	FieldTemperature   Field = "temperature"
	FieldMeter         Field = "meter"
	FieldSelfFarads    Field = "self-capacitance"
	FieldSelfResonance Field = "self-resonance"
	FieldCount         Field = "count"
	FieldPlace         Field = "place"
	FieldPrice         Field = "price"
	FieldNotes         Field = "notes"
	Ignored            Field = "ignored"
)

// Fields are all fields in the order Write puts them in.
func Fields() []Field {
	return []Field{FieldID, FieldKind, FieldValue, FieldTolerance, FieldMeasured, FieldFrequency, FieldMode,
		FieldQ, FieldD, FieldDCR, FieldLevel, FieldTemperature, FieldMeter, FieldSelfFarads, FieldSelfResonance,
		FieldCount, FieldPlace, FieldPrice, FieldNotes}
}

// meaning is what a title says: the field, and for a measured value the kind
// and the mode.
type meaning struct {
	field Field
	kind  Kind
	mode  Mode
}

// whole titles, in lower case with one space between words and without unit
// and frequency. They are words of a bench in English, German and French.
var titles = func() map[string]meaning {
	all := map[string]meaning{
		"l": {FieldMeasured, Coil, ""}, "ls": {FieldMeasured, Coil, Series}, "lp": {FieldMeasured, Coil, Parallel},
		"c": {FieldMeasured, Capacitor, ""}, "cs": {FieldMeasured, Capacitor, Series}, "cp": {FieldMeasured, Capacitor, Parallel},
		"r": {FieldMeasured, Resistor, ""}, "henry": {FieldMeasured, Coil, ""}, "farad": {FieldMeasured, Capacitor, ""},
		"inductance": {FieldMeasured, Coil, ""}, "induktivität": {FieldMeasured, Coil, ""}, "capacitance": {FieldMeasured, Capacitor, ""},
		"kapazität": {FieldMeasured, Capacitor, ""}, "capacité": {FieldMeasured, Capacitor, ""}, "resistance": {FieldMeasured, Resistor, ""},
		"series or parallel": {field: FieldMode}, "series/parallel": {field: FieldMode}, "ser/par": {field: FieldMode}, "s/p": {field: FieldMode},
		"ls/lp": {field: FieldMode}, "lp/ls": {field: FieldMode}, "cs/cp": {field: FieldMode}, "cp/cs": {field: FieldMode},
	}
	for field, list := range map[Field]string{
		FieldID:            "id,nr,nr.,no,no.,number,nummer,numéro,label,name,part,part id,part no,part nr,ref,reference,tag,#,n°",
		FieldKind:          "kind,type,art,typ,what,sort,genre,category",
		FieldValue:         "value,marked,marked value,marking,nominal,nominal value,nom,nominal val,val,wert,nennwert,aufdruck,valeur,valeur nominale,rated,rated value",
		FieldTolerance:     "tolerance,tol,tol.,toleranz,tolérance,+/-,±",
		FieldMeasured:      "measured,measured value,meas,meas.,reading,read,actual,gemessen,messwert,istwert,mesuré,mesure,valeur mesurée,m",
		FieldFrequency:     "frequency,freq,freq.,f,test frequency,test freq,test f,measured at,at,f test,f meas,frequenz,messfrequenz,fréquence,fréq",
		FieldMode:          "mode,modus,messart,circuit,equivalent,equiv",
		FieldQ:             "q,q factor,quality,quality factor,güte,facteur q",
		FieldD:             "d,tan d,tan delta,tand,tan δ,tanδ,df,loss,losses,loss factor,dissipation,dissipation factor,verlustfaktor,pertes",
		FieldDCR:           "dcr,rdc,r dc,dc r,dc resistance,dc ohms,ohms,ohm,r cu,rcu,copper,winding resistance,coil resistance,gleichstromwiderstand,rcc",
		FieldLevel:         "level,test level,voltage,test voltage,pegel,messpegel,niveau",
		FieldTemperature:   "temperature,temp,temp.,t,temperatur,température",
		FieldMeter:         "meter,instrument,lcr,bridge,messgerät,appareil",
		FieldSelfFarads:    "self-capacitance,self capacitance,cself,c self,stray c,eigenkapazität,winding capacitance",
		FieldSelfResonance: "self-resonance,self resonance,srf,fres,f res,f0,resonance,eigenresonanz,résonance propre",
		FieldCount:         "count,qty,quantity,qty.,pcs,pieces,how many,number of,stück,anzahl,menge,quantité,nombre,stk",
		FieldPlace:         "place,bin,drawer,bag,box,where,location,shelf,tray,ort,lager,lagerort,fach,tüte,schublade,lieu,tiroir,sachet",
		FieldPrice:         "price,cost,preis,kosten,prix,paid",
		FieldNotes:         "notes,note,remarks,remark,comment,comments,bemerkung,bemerkungen,notiz,notizen,remarque,remarques",
	} {
		for word := range strings.SplitSeq(list, ",") {
			all[word] = meaning{field: field}
		}
	}
	return all
}()

// markedWords and measuredWords turn "L marked" and "C gemessen" into what
// they are beside the kind they name.
var (
	markedWords   = wordSet("value marked nominal nom rated wert nennwert valeur")
	measuredWords = wordSet("measured meas meas. reading read actual gemessen messwert mesuré value")
)

func wordSet(list string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(list) {
		set[w] = true
	}
	return set
}

// titleUnits are the units a title may give to the bare numbers below it, as
// quantity reads them behind a number.
var titleUnits = map[string]string{
	"hz": "Hz", "khz": "kHz", "h": "H", "mh": "mH", "µh": "µH", "uh": "µH", "nh": "nH", "f": "F", "mf": "", "µf": "µF",
	"uf": "µF", "nf": "nF", "pf": "pF", "ohm": "ohm", "ohms": "ohm", "ω": "ohm", "r": "ohm", "kohm": "kohm", "kω": "kohm", "k": "kohm",
	"mω": "", "%": "%", "v": "V", "vrms": "V", "v rms": "V", "mv": "mV", "°c": "°C", "c": "°C", "degc": "°C", "dbu": "dBu", "dbv": "",
	"per cent": "%", "percent": "%", "pct": "%",
}

// title is a column's title taken apart: its words, the unit and the
// frequency in it.
type title struct {
	words string
	unit  string
	hertz float64
}

// decoration is what titles are dressed with.
var decoration = strings.NewReplacer("_", " ", ":", " ", ";", " ", `"`, " ", "*", " ", "?", " ")

// takeApart finds "L @ 1 kHz (mH)": the words l, the unit mH, 1000 hertz. A
// unit stands in brackets, behind a stroke, comma or "in", or as a last word
// that can be nothing else.
func takeApart(text string) title {
	var t title
	s := tidy(text)
	for _, pair := range [...]string{"()", "[]", "{}"} {
		open := strings.IndexByte(s, pair[0])
		shut := strings.LastIndexByte(s, pair[1])
		if open >= 0 && shut > open {
			t.inside(s[open+1 : shut])
			s = s[:open] + " " + s[shut+1:]
		}
	}
	if before, after, found := strings.Cut(s, "@"); found {
		t.inside(after)
		s = before
	}
	s = tidy(decoration.Replace(s))
	if words := strings.Fields(s); len(words) > 2 { // "L 120 Hz"
		if last := len(words) - 2; t.hertz == 0 && digit(words[last][0]) && t.inside(words[last]+words[last+1]) {
			s = strings.Join(words[:last], " ")
		}
	}
	if _, known := titles[s]; !known {
		for _, cut := range [...]string{"/", ", ", " in ", " "} {
			at := strings.LastIndex(s, cut)
			if at > 0 && (cut != " " || endsInUnit(s[:at], s[at+1:])) && t.inside(s[at+len(cut):]) {
				s = strings.TrimRight(s[:at], " ,/")
				break
			}
		}
	}
	t.words = tidy(s)
	return t
}

// endsInUnit says whether the last of words parted by spaces may be a unit: a
// single letter is one only behind a title of something that has that unit,
// since "measured C" is a capacitance and "temp C" a temperature.
func endsInUnit(before, last string) bool {
	if len(last) > 1 || last == "%" {
		return true
	}
	switch titles[before].field {
	case FieldTemperature, FieldLevel, FieldDCR:
		return true
	}
	return false
}

// inside takes a unit or a frequency; false when the text is neither.
func (t *title) inside(text string) bool {
	text = tidy(strings.TrimPrefix(tidy(text), "in "))
	if unit, known := titleUnits[text]; known && t.unit == "" {
		t.unit = unit
		return true
	}
	if strings.HasSuffix(text, "hz") && strings.ContainsAny(text, "0123456789") {
		if f, err := quantity.ParseHertz(text); err == nil {
			t.hertz = float64(f)
			return true
		}
	}
	return false
}

// tidy lowers the case and leaves single spaces, the micro signs one sign.
func tidy(text string) string {
	return strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(text), "μ", "µ")), " ")
}

// means says what a title stands for; ok is false for words nobody knows.
func (t title) means() (meaning, bool) {
	if m, known := titles[t.words]; known {
		if t.words == "c" && t.unit == "°C" {
			return meaning{field: FieldTemperature}, true
		}
		return m, true
	}
	words := strings.Fields(t.words)
	if len(words) != 2 {
		return meaning{}, false
	}
	for i, w := range words {
		m, known := titles[w]
		other := words[1-i]
		switch {
		case !known || m.kind == "":
		case markedWords[other] && m.mode == "":
			return meaning{FieldValue, m.kind, ""}, true
		case measuredWords[other]:
			return m, true
		}
	}
	return meaning{}, false
}
