// Package sheet makes a report of one HTML file that opens anywhere: with the
// network off, without a script, on paper, on a phone, by day and at night.
//
// A Sheet is an answer and then sections of text, tables and figures. It knows
// nothing of voyages: Run and Odds make one of a result, and other commands
// may put together theirs. Write turns it into bytes; the same sheet gives the
// same bytes.
//
// A figure is drawn twice from the page model of package chart: as it is on
// paper, inline SVG, and as panels in which one can look closer, read values
// and hide what is in the way (live.go, assets/sheet.js). The second replaces
// the first where scripts run and the sheet is on a screen.
//
// The file's content security policy allows its own style and its own scripts,
// by their hashes, and nothing from anywhere. Hence no style attributes: the
// SVG's become classes (svg.go), each with its colour for day and for night.
package sheet
