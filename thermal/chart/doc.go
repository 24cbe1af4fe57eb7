// Package chart draws runs, and chains of runs that each began as the one before
// ended: layers against time, the cross-section as a field,
// profiles at chosen moments and two runs beside each other, as PNG, SVG or PDF.
//
// Colours rise steadily in lightness and every line has a dash pattern and a
// marker of its own, so that a chart can be read in black and white. Names
// stand in a key beside the plot, where nothing can cover them.
//
// In two dimensions fields, edges and profiles are those along the middle line of the
// dish, see thermal.Place, which their axis says; bands and means are of all of a layer.
//
// SVG files name the fonts (Liberation Sans, Helvetica or Arial) and do not hold
// them; PDF files hold them, with the letters of Western Europe (code page 1252) and
// ? for others.
package chart
