package chart

import (
	"bytes"
	"encoding/xml"
	"errors"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func trialInput() TrialInput {
	in := TrialInput{Title: "A trial", Facts: []string{"Found: more"}, Caption: "ampwake", Floor: 0.5}
	t0 := time.Date(2027, 1, 10, 9, 0, 0, 0, time.UTC)
	for i := range 200 {
		at := t0.Add(time.Duration(i) * time.Hour)
		c := 0.8 - 0.002*float64(i) + 0.05*math.Sin(float64(i)/4)
		in.Times = append(in.Times, at)
		in.Fitted, in.Low, in.High = append(in.Fitted, c), append(in.Low, c-0.02), append(in.High, c+0.02)
		in.Planned = append(in.Planned, 0.8)
		if i%10 == 0 {
			in.Readings = append(in.Readings, Reading{Time: at, Charge: c + 0.01, Off: 0.02, Sigma: 0.05, Odd: i == 50})
			in.Readings = append(in.Readings, Reading{Time: at, Count: true, Off: -1, Sigma: 2})
		}
	}
	return in
}

func TestTrialPicture(t *testing.T) {
	in := trialInput()
	p := NewTrial(in)
	require.Len(t, p.Panels, 3)
	assert.Equal(t, []string{"as planned", "fitted"}, []string{p.Panels[0].Lines[0].Name, p.Panels[0].Lines[1].Name})
	assert.InDelta(t, 100*in.Fitted[7], p.Panels[0].Lines[1].Y[7], 1e-9)
	assert.InDelta(t, 100*in.Low[7], p.Panels[0].Bands[0].Low[7], 1e-9)
	assert.Len(t, p.Panels[0].Points, 20)
	assert.InDelta(t, 0.02, p.Panels[1].Points[3].Y, 1e-9)
	assert.InDelta(t, -1, p.Panels[2].Points[3].Y, 1e-9)
	assert.Equal(t, alarm.Ink, p.Panels[1].Points[5].Ink, "the odd one")
	assert.InDelta(t, -p.Panels[1].Max, p.Panels[1].Min, 1e-12)
	drawn(t, p, "State of charge, %", "fitted", "floor 50 %", "Counter less the model, Ah")

	in.Readings = in.Readings[:0]
	assert.Len(t, NewTrial(in).Panels, 1, "nothing read, no residuals")
	in.Low = in.Low[1:]
	assert.Panics(t, func() { NewTrial(in) })
}

func TestTraceSheet(t *testing.T) {
	tr := trialInput()
	now := tr.Times[len(tr.Times)-1]
	band := func(from time.Time, n int, c float64) BandInput {
		var b BandInput
		for i := range n {
			b.Times = append(b.Times, from.Add(time.Duration(i)*24*time.Hour))
			b.P10, b.P50, b.P90 = append(b.P10, c-0.1), append(b.P50, c), append(b.P90, c+0.1)
		}
		return b
	}
	in := TraceSheetInput{
		Title: "Noon", Floor: 0.5, Now: now, To: now.Add(20 * 24 * time.Hour), Times: tr.Times, Log: tr.Fitted,
		Plan: band(tr.Times[0], 9, 0.8), Ahead: band(now, 20, 0.6), Readings: tr.Readings[:1],
	}
	p := NewTraceSheet(in)
	require.Len(t, p.Panels, 1)
	assert.Len(t, p.Panels[0].Bands, 2)
	assert.Len(t, p.Panels[0].Lines, 3)
	assert.Equal(t, seconds(now), p.Panels[0].Bands[1].X[0])
	drawn(t, p, "State of charge, %", "median", "1 in 10 below", "floor 50 %")
	in.Ahead.Times = in.Ahead.Times[:1]
	assert.Panics(t, func() { NewTraceSheet(in) })
}

// drawn draws a picture as SVG and looks for words in it.
func drawn(t *testing.T, p Picture, words ...string) {
	t.Helper()
	var b bytes.Buffer
	require.NoError(t, Encode(&b, p, "svg"))
	text := b.String()
	assert.NotContains(t, text, "NaN")
	assert.NotContains(t, text, "#-")
	for _, w := range words {
		assert.True(t, strings.Contains(text, w), w)
	}
	dec := xml.NewDecoder(&b)
	for {
		if _, err := dec.Token(); err != nil {
			assert.True(t, errors.Is(err, io.EOF), "%v", err)
			return
		}
	}
}
