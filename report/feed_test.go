package report

import (
	"bytes"
	"context"
	"encoding/csv"
	"html"
	"io/fs"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"bandwright/bench"
	"bandwright/demo"
	"bandwright/finding"
	"bandwright/job"
)

// onItsRail opens the demo's board with its feed, some of its text exchanged.
func onItsRail(t *testing.T, exchange ...string) *bench.Case {
	t.Helper()
	text, err := fs.ReadFile(demo.BassHead(), "feed.toml")
	if err != nil {
		t.Fatal(err)
	}
	c, found := bench.Open(context.Background(), "feed.toml", []byte(strings.NewReplacer(exchange...).Replace(string(text))), demo.BassHead())
	if c == nil {
		t.Fatal(found)
	}
	return c
}

// plainText leaves the marks of a page out.
func plainText(page []byte) string {
	return strings.ReplaceAll(html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(string(page), " ")), "\u00a0", " ")
}

func inBoth(t *testing.T, s *Sheet, words ...string) {
	t.Helper()
	squeeze := func(text string) string { return strings.Join(strings.Fields(text), " ") }
	page, paper := squeeze(plainText(htmlOf(t, s))), squeeze(strings.ReplaceAll(readBack(t, pdfOf(t, s)), "\u00a0", " "))
	for _, w := range words {
		if !strings.Contains(page, w) {
			t.Errorf("the page of %q lacks %q", s.Title, w)
		}
		if !strings.Contains(paper, w) {
			t.Errorf("the paper of %q lacks %q", s.Title, w)
		}
	}
}

// cautioned are words of TRADE's cautions that no sheet for high tension may lack.
var cautioned = []string{"Mains and high tension kill", "Unplug", "Discharge", "prove dead with a meter just proved", "The safety earth is never lifted", "A scope's clip is earth",
	"never driven without its load", "A variac neither limits current nor isolates", "One hand, no jewellery", "Type and rating stay as marked", "Not to be played until earth bond",
	"Local codes and licensed practice", "calculated, and proves nothing about safety", "INVENTED EXAMPLE DATA"}

func TestFeedSheet(t *testing.T) {
	c := onItsRail(t)
	a, found, err := c.Feed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	s := NewFeed(a, found, "bandwright test")
	inBoth(t, s, append(cautioned, "Beyond the limits: C.filter.", "At most: 572 V", "80 % of its volts, 60 % of its watts", "two of 18 kΩ in series",
		"C.filter fails: 572 V on 35 V", "Cure: a second zener", "Fuse: T 3.15 A", "dropper.1")...)
	walk(t, string(htmlOf(t, s)))

	bare := onItsRail(t, `fuse = "T 3.15 A, as marked on the back (invented)"`, "", `ripple = "1.2 V"`, "")
	if a, found, err = bare.Feed(context.Background()); err != nil {
		t.Fatal(err)
	}
	inBoth(t, NewFeed(a, found, "bandwright test"), "Fuse: NOT DONE", "Ripple on the rail: NOT DONE", "longest with")
}

// TestFeedCSV: a row of every part in every case, and the rated ones' shares are
// those of the answer.
func TestFeedCSV(t *testing.T) {
	a, _, err := onItsRail(t).Feed(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := FeedCSV(&b, a); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil || len(rows) != 1+len(a.Loads) {
		t.Fatalf("%d rows, %v", len(rows), err)
	}
	for i, l := range a.Loads {
		row := rows[i+1]
		if v, err := strconv.ParseFloat(row[4], 64); err != nil || v != l.Volts || row[0] != string(l.Case) || row[2] != l.Part {
			t.Errorf("%v is no row of %+v", row, l)
		}
		if rated, err := strconv.ParseFloat(row[5], 64); l.OfVolts > 0 && (err != nil || l.Volts/rated-l.OfVolts > 1e-9 || l.OfVolts-l.Volts/rated > 1e-9) {
			t.Errorf("%v: rated %v, share %v", row, rated, l.OfVolts)
		}
	}
}

func powerUp(t *testing.T, c *bench.Case, q bench.FirstVoltsQuestion) (*bench.FirstVoltsAnswer, finding.List) {
	t.Helper()
	a, found, err := c.FirstVolts(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a, found
}

func TestPowerUpSheet(t *testing.T) {
	c, rail := onItsRail(t), 398.0
	q := bench.FirstVoltsQuestion{Stage: job.StageMains, Rail: &rail, Skipped: []job.PowerStage{{Stage: job.StageLimiter, Skipped: "no lamp in the house"}},
		Readings: []job.Reading{{Kind: job.ReadVolts, Red: "out", Value: "12.1 V"}, {Kind: job.ReadVolts, Red: "q1.base", Value: "9 V"}}}
	a, found := powerUp(t, c, q)
	s := NewPowerUp(a, found, "bandwright test")
	inBoth(t, s, append(cautioned, "SKIPPED", "no lamp in the house", "2026-01-23, the bench", "It makes nothing safe", "STOP: 1 reading ends the work",
		"Limits in force: ±10 % pass, ±20 % look", "2 pass, 0 look, 1 stop, 33 NOT DONE", "398 V there, as read", "mains now NOT DONE", "signed NOT DONE")...)
	walk(t, string(htmlOf(t, s)))

	a, found = powerUp(t, c, bench.FirstVoltsQuestion{Stage: job.StageLimiter})
	inBoth(t, NewPowerUp(a, found, "bandwright test"), "must rise to", "must not exceed", "The lamp takes a share of the rail", "rail at ht now NOT DONE")
	a, found = powerUp(t, c, bench.FirstVoltsQuestion{Stage: job.StageBench})
	inBoth(t, NewPowerUp(a, found, "bandwright test"), "24 V at rail, current limit 30 mA", "current as read NOT DONE", "Each band alive")
	a, found = powerUp(t, onItsRail(t, `stage = [{ stage = "bench", signed = "2026-01-23, the bench" }]`, `stage = [{ stage = "mains", skipped = "rig not ours" }]`),
		bench.FirstVoltsQuestion{Stage: job.StageMains})
	inBoth(t, NewPowerUp(a, found, "bandwright test"), "SKIPPED: rig not ours", "bench NOT DONE", "limiter NOT DONE", "nobody has read it")
	for _, word := range []string{"safe to", "is safe"} {
		if strings.Contains(plainText(htmlOf(t, NewPowerUp(a, found, "bandwright test"))), word) {
			t.Errorf("the sheet says %q", word)
		}
	}
}

// TestPowerUpListComesBack: a list that was filled in is read again, and judged
// as what was typed is.
func TestPowerUpListComesBack(t *testing.T) {
	c, rail := onItsRail(t), 398.0
	boost := c.Job().Bands[0].Centre
	for _, q := range []bench.FirstVoltsQuestion{
		{Stage: job.StageMains, Rail: &rail, Readings: []job.Reading{{Kind: job.ReadVolts, Red: "ht", Value: "398 V"}, {Kind: job.ReadVolts, Red: "out", Value: "12.1 V"},
			{Kind: job.ReadVolts, Red: "legs", Value: "open"}, {Kind: job.ReadVolts, Red: "q1.base", Black: "q1.emitter", Value: "-0.2 V"}}},
		{Stage: job.StageBench, Readings: []job.Reading{{Kind: job.ReadVolts, Red: "cut", Value: "0.08 V"}, {Kind: job.ReadGain, At: &boost, Setting: "63=+1", Value: "9.5 dB"}}},
	} {
		a, _ := powerUp(t, c, q)
		var b bytes.Buffer
		if err := PowerUpCSV(&b, a); err != nil {
			t.Fatal(err)
		}
		first := b.String()
		back, found := job.ReadReadings("list.csv", strings.NewReader(first))
		if err := found.Err(); err != nil || len(back) != len(q.Readings) {
			t.Fatalf("%d readings of %d come back, %v", len(back), len(q.Readings), err)
		}
		q.Readings = back
		again, _ := powerUp(t, c, q)
		b.Reset()
		if err := PowerUpCSV(&b, again); err != nil {
			t.Fatal(err)
		}
		if b.String() != first {
			t.Errorf("%s: the list that came back is another:\n%s\n%s", q.Stage, first, b.String())
		}
	}
}
