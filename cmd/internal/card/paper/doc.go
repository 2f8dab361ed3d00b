// Package paper draws a card.Card as a PDF: black on white, two sides a zone,
// A4 or Letter.
//
// It is to be read at arm's length in the light of a red torch: nothing is said by
// colour, type is 9 points at least (cautions and the foot excepted), and what is
// acted on stands in bold of 12 points at least.
package paper
