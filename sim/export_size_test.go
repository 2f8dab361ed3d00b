package sim

// Hold makes a trial one that was sailed through all its weathers and held in the
// first n of them.
func (t *Trial) Hold(n int) {
	t.Holds = make([]bool, t.Of)
	for i := range n {
		t.Holds[i] = true
	}
	t.held = n
}
