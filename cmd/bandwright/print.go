package main

import (
	"fmt"
	"io"
	"strconv"
	"strings"
	"text/tabwriter"

	"bandwright/quantity"
)

// table prints columns parted by two blanks. It writes to a memory of its own
// until flushed, so its errors are the stream's.
type table struct {
	w   *tabwriter.Writer
	end string // of a row: a cell that stands to the right is closed by a tab
}

// figures is a table of numbers, standing to the right.
func figures(out io.Writer, heads ...string) table {
	return table{tabwriter.NewWriter(out, 0, 0, 2, ' ', tabwriter.AlignRight), "\t"}.row(heads...)
}

// names is a table that begins with words, standing to the left.
func names(out io.Writer, heads ...string) table {
	return table{tabwriter.NewWriter(out, 0, 0, 2, ' ', 0), ""}.row(heads...)
}

func (t table) row(cells ...string) table {
	fmt.Fprintln(t.w, strings.Join(cells, "\t")+t.end)
	return t
}

func (t table) flush() error { return t.w.Flush() }

// none stands where there is no figure.
const none = "none"

// fixed writes so many decimals, with the true minus and a zero that has no
// sign.
func fixed(x float64, decimals int) string {
	text := strconv.FormatFloat(x, 'f', decimals, 64)
	size, negative := strings.CutPrefix(text, "-")
	if !negative || strings.Trim(size, "0.") == "" {
		return size
	}
	return "−" + size
}

// signed is fixed with a plus before what is above zero.
func signed(x float64, decimals int) string {
	text := fixed(x, decimals)
	if strings.HasPrefix(text, "−") || strings.Trim(text, "0.") == "" {
		return text
	}
	return "+" + text
}

func hertz(x float64) string { return quantity.Hertz(x).Display(4) }

func volts(x float64) string { return quantity.Volts(x).Display(4) }

func watts(x float64) string { return quantity.Watts(x).Display(3) }

func amperes(x float64) string { return quantity.Amperes(x).Display(3) }

func decibels(x float64) string { return fixed(x, 2) + " dB" }

func plain(x float64) string { return fixed(x, 2) }

func percent(x float64) string { return signed(x, 2) + " %" }

// maybe writes a figure, or says that there is none.
func maybe(x *float64, write func(float64) string, otherwise string) string {
	if x == nil {
		return otherwise
	}
	return write(*x)
}
