//go:build !race

package screen_test

const raceOn = false
