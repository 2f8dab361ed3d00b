package card

import (
	"context"
	"sync"
	"testing"

	"github.com/stretchr/testify/require"

	"ampwake/scenarios"
)

// builtin reads a built-in scenario.
func builtin(t testing.TB, name string, set ...string) *scenarios.Scenario {
	t.Helper()
	label, src, err := scenarios.Source(name)
	require.NoError(t, err)
	s, err := scenarios.Read(label, src, set, "")
	require.NoError(t, err)
	return s
}

// written reads a scenario from its text.
func written(t testing.TB, text string) *scenarios.Scenario {
	t.Helper()
	s, err := scenarios.Read("test", []byte(text), nil, "")
	require.NoError(t, err)
	return s
}

// southern is the card of the Southern Ocean through six weathers, worked out once:
// a card is never changed.
var southern = sync.OnceValues(func() (*Card, error) {
	label, src, err := scenarios.Source("southern-ocean")
	if err != nil {
		return nil, err
	}
	s, err := scenarios.Read(label, src, nil, "")
	if err != nil {
		return nil, err
	}
	return New(context.Background(), s, Options{Weathers: 6, Seed: 1})
})

func southernCard(t testing.TB) *Card {
	t.Helper()
	c, err := southern()
	require.NoError(t, err)
	return c
}

func cardOf(t testing.TB, s *scenarios.Scenario, weathers int) *Card {
	t.Helper()
	c, err := New(t.Context(), s, Options{Weathers: weathers, Seed: 1})
	require.NoError(t, err)
	return c
}

// meridian is a voyage down the meridian of Greenwich, where ship's noon is noon
// UTC; its bank is so small that many a weather empties it.
const meridian = `
title: down the meridian
voyage:
  depart: 2027-03-01 00:00 UTC
  route:
    - {name: line, at: 02°00.0'S 000°00.0'E}
    - {name: middle, at: 14°00.0'S 000°00.0'E, by: rhumb line}
    - {name: south, at: 32°00.0'S 000°00.0'E, by: rhumb line}
  pace: [{speed: 4 kn}]
  zones: [{name: tropics, until: middle}, {name: subtropics}]
weather: climate
bank: {capacity: 60 Ah, start: 90 %, floor: 40 %}
sources:
  panels: [{name: panel, rated: 66 W}]
loads:
  - {name: house, draws: 0.75 A}
  - {name: fan, draws: 4 W, when: "12:00-16:00 UTC", goes first: true}
  - name: HF radio
    receive: 2 A
    transmit: {peak: 20 A, average: 8 A, share: 20 %}
    when: ["20:00 UTC"]
    for: 20 min
    standby: 10 min
    works above: 11.4 V
    cable: {run: 4 m, area: 16 mm²}
goals: {keep: [HF radio], stay above: 40 %}
`
