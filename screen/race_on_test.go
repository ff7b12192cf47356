//go:build race

package screen_test

// raceOn passes by the random properties of the transient pipeline under the race
// detector: it slows the engine twentyfold, and each case is one goroutine's. They
// run without it, and in greater number with the tag slow.
const raceOn = true
