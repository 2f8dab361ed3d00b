package desk

import (
	"context"
	"errors"
)

// gate lets so many in at once and so many wait. Whoever comes beyond is turned
// away at once: better than a queue that nobody sees the end of.
type gate struct {
	places  chan struct{} // taken by those inside
	tickets chan struct{} // taken by those inside and those waiting
}

// errBusy says that there is no place to wait in.
var errBusy = errors.New("too much is being reckoned at once: wait a moment and ask again")

func newGate(inside, waiting int) *gate {
	return &gate{places: make(chan struct{}, inside), tickets: make(chan struct{}, inside+waiting)}
}

// enter waits for a place and returns what gives it back. The error is errBusy or
// that of the context.
func (g *gate) enter(ctx context.Context) (leave func(), err error) {
	select {
	case g.tickets <- struct{}{}:
	default:
		return nil, errBusy
	}
	select {
	case g.places <- struct{}{}:
		return func() { <-g.places; <-g.tickets }, nil
	case <-ctx.Done():
		<-g.tickets
		return nil, ctx.Err()
	}
}
