package finding

import (
	"encoding/json"
	"errors"
	"fmt"
	"testing"
)

func TestPlaceReadsFromTheFileInwards(t *testing.T) {
	for want, p := range map[string]Place{
		"":                       {},
		"job.toml:3:7, part R.x": {File: "job.toml", Line: 3, Column: 7, Part: "R.x"},
		"job.toml":               {File: "job.toml"},
		"line 12":                {Line: 12},
		"band 63, part 63.coil, point legs, setting flat": {Band: "63", Part: "63.coil", Point: "legs", Setting: "flat"},
	} {
		if got := p.String(); got != want {
			t.Errorf("%+v reads %q, want %q", p, got, want)
		}
	}
}

// Only an Error makes a list an error; what weakens an answer travels with it.
func TestListIsAnErrorOnlyWithAnError(t *testing.T) {
	warning := New("a.b", Warning, Place{}, nil)
	for want, list := range map[Level]List{
		Note:    {},
		Warning: {New("a.c", Note, Place{}, nil), warning},
		Error:   {warning, New("a.d", Error, Place{}, nil)},
	} {
		if list.Worst() != want {
			t.Errorf("worst of %v is %v", list, list.Worst())
		}
		if (list.Err() != nil) != (want == Error) {
			t.Errorf("%v gives %v", list, list.Err())
		}
	}
}

// What a person did wrong can be found in a wrapped error; our own faults hold
// no finding.
func TestFromUnwraps(t *testing.T) {
	one := New("a.b", Error, Place{Line: 4}, Args{"z": 1, "a": "x"})
	for _, err := range []error{one, List{one}, fmt.Errorf("opening: %w", one), fmt.Errorf("more: %w", List{one})} {
		list, ok := From(err)
		if !ok || len(list) != 1 || list[0].ID != "a.b" {
			t.Errorf("%v holds %v", err, list)
		}
	}
	if list, ok := From(errors.New("disk")); ok {
		t.Errorf("a plain error holds %v", list)
	}
	if got, want := one.Error(), "a.b at line 4 a=x z=1"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestJSONHasWordsForLevels(t *testing.T) {
	text, err := json.Marshal(New("a.b", Warning, Place{Band: "63"}, Args{"hz": 64.5}))
	if err != nil {
		t.Fatal(err)
	}
	if want := `{"id":"a.b","level":"warning","place":{"band":"63"},"args":{"hz":64.5}}`; string(text) != want {
		t.Errorf("%s, want %s", text, want)
	}
}
