//go:build race

package transient

// raceOn shortens the longest tests under the race detector, which slows this
// single-goroutine arithmetic twentyfold.
const raceOn = true
