// Package draw holds a drawing in millimetres and puts it on paper.
//
// A Drawing records three things: strokes (a path and a pen), filled areas and
// text. Whatever can take those three is an End, and a drawing is played onto
// it; a new kind of paper is a new End and touches nothing else. Two ends are
// here: SVG, with its text as text, and a page of a PDF. Lengths are
// millimetres, x to the right and y down; an end whose paper counts upwards
// turns y round itself.
//
// Clipping is done here, on the geometry (Clip, ClipArea), not by the ends:
// not every kind of paper can clip, and a line cut once is cut alike on all.
//
// On top of that stands Plot, a response over frequency in the proportions of
// IEC 60263. Its ticks are plain data, so that the page draws the same axis.
package draw
