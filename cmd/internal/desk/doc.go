// Package desk serves the chart table: a page in the browser where the kit, the
// leg and the rules are changed by hand and the curve answers at once.
//
// The page holds the text of a scenario and nothing else; whatever a control
// changes is an override on that text. The server keeps no state between two
// requests: each brings the text along, and gets back the text as changed, the
// controls that go with it and what came of it.
//
//   - POST /api/sail sails one leg: quick enough to follow a slider.
//   - POST /api/odds sails many weathers and tells of them as they come, as
//     server-sent events. It is a POST, since a scenario does not fit an address;
//     so the page reads the stream itself and uses no EventSource.
//   - POST /api/files/{name} makes a card, a report or data to be kept.
//   - GET / and what lies below are the page, the built-in scenarios and the
//     coasts of the map.
//
// Who may ask, and how much, is in guard.go and gate.go. A text that came from
// the page can have no file read: see scenarios.ReadSealed.
package desk
