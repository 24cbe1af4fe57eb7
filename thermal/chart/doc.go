// Package chart draws runs: layers against time, the cross-section as a field,
// profiles at chosen moments and two runs beside each other, as PNG, SVG or PDF.
//
// Colours rise steadily in lightness and every line has a dash pattern and a
// marker of its own, so that a chart can be read in black and white. Names
// stand in a key beside the plot, where nothing can cover them.
//
// SVG files name the fonts (Liberation Sans, or any Helvetica) and do not hold
// them; PDF files hold them.
package chart
