// Package report puts answers on paper: the job sheet as one self-contained
// HTML page (the accessible form) and as an A4 PDF, and the band table as
// comma-separated text. It holds the wording of every finding, so that the
// command, the page and the paper say the same in the same words.
//
// A sheet is composed once, by New, from what bench answered: a list of
// sections of paragraphs, tables, lists and figures with every number already
// written. HTML and PDF lay out that one list and know nothing of its subject.
package report
