package screen

import (
	"math"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
)

// Sixteen draws of which half exceed a limit. A fact that tells them apart clears
// the verdict whatever it turns out to be, one that does not leaves it as it is,
// and a gate that asks for another fact keeps it survey first.
func TestFactClearsVerdict(t *testing.T) {
	l, err := config.Load(config.Inputs{})
	if err != nil {
		t.Fatal(err)
	}
	e, err := NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	const n = 16
	d, weights, apart, mixed := &drawn{}, make([]float64, n), make([]int, n), make([]int, n)
	for k := range n {
		d.logs = append(d.logs, []float64{-0.1, 0.1}[k%2])
		weights[k], apart[k], mixed[k] = 1, k%2, k/8
	}
	now := &ingest.Building{}
	for c, word := range map[ingest.Category]string{ingest.DrainOutlet: "yes", ingest.EmbeddedTimber: "none", ingest.ProtectedFacade: "no", ingest.Exposure: "moderate"} {
		now.Cat[c], _ = c.Level(word)
	}
	var cavity uint8
	for i, st := range e.strategies {
		if st.ID == "drained_cavity" {
			cavity = uint8(i)
		}
	}
	j := &Judgement{Strategy: cavity, Verdict: SurveyFirst}
	h := &home{e: e, b: now, open: map[uint8]*drawn{cavity: d}}
	as := func(int) *ingest.Building { return h.b }
	for _, c := range []struct {
		name string
		bins []int
		want float64
	}{{"apart", apart, 1}, {"mixed", mixed, 0}} {
		if got := h.clears(j, c.bins, weights, as); got != c.want {
			t.Errorf("%s: %g, want %g", c.name, got, c.want)
		}
	}
	// Draws left out by their weight count for nothing: of one bin only good ones stay.
	weights[1], weights[3], weights[5], weights[7] = 0, 0, 0, 0
	d.logs[1], d.logs[3], d.logs[5], d.logs[7] = math.NaN(), math.NaN(), math.NaN(), math.NaN()
	if got := h.clears(j, mixed, weights, as); got != 4.0/12 {
		t.Errorf("one of two bins is clear, by weight: %g", got)
	}
	// Whether water can run out of the cavity is not known: the gate goes on asking
	// whatever else is found out, until that is known.
	h.b.Cat[ingest.DrainOutlet] = 0
	if got := h.clears(j, apart, weights, as); got != 0 {
		t.Errorf("with the gate asking: %g", got)
	}
	known := func(int) *ingest.Building {
		b := *h.b
		b.Cat[ingest.DrainOutlet] = 1
		return &b
	}
	if got := h.clears(j, apart, weights, known); got != 1 {
		t.Errorf("with the gate answered: %g", got)
	}
}
