package screen

import (
	"testing"

	"wallsift/ingest"
)

// What was seen moves the weight of the draws that ruin the wall as it is one way,
// however many they are: seen sound they never count more than where nobody looked,
// seen decayed never less.
func TestWhatWasSeenMovesTheWeights(t *testing.T) {
	const draws = 16
	weight := func(ruined int, c ingest.Category, level uint8) float64 {
		h := &home{e: &Engine{baseRate: 0.04, looksMiss: 0.1}, b: &ingest.Building{}, wear: make([]float64, draws), looked: draws}
		h.b.Cat[c] = level
		for n := range draws {
			if n < ruined {
				h.wear[n] = 1
			}
		}
		w, err := h.weights(draws)
		if err != nil {
			t.Fatal(err)
		}
		if len(w) != draws || h.past.Draws != draws || h.past.Ruined != ruined {
			t.Fatalf("%d weights, past %+v", len(w), h.past)
		}
		// The share of all weight that ruined draws have.
		bad, all := 0.0, 0.0
		for n, x := range w {
			all += x
			if h.wear[n] >= 1 {
				bad += x
			}
		}
		return bad / all
	}
	for ruined := range draws + 1 {
		open := weight(ruined, ingest.TimberState, 0)
		for c, levels := range map[ingest.Category][2]uint8{ingest.TimberState: {timberSound, timberDecayed}, ingest.InnerDamp: {dampNone, dampSigns}} {
			sound, decayed := weight(ruined, c, levels[0]), weight(ruined, c, levels[1])
			if sound > open || decayed < open {
				t.Errorf("%d of %d draws ruined, %s: share %.3f seen sound, %.3f not seen, %.3f seen decayed", ruined, draws, c.Name(), sound, open, decayed)
			}
		}
		// Nobody looked: ruined draws together count no more than damage is met, unless
		// every draw is ruined.
		if ruined < draws && open > 0.04+1e-9 && float64(ruined)/draws > 0.04 {
			t.Errorf("%d of %d draws ruined, not seen: share %.3f", ruined, draws, open)
		}
	}
}
