//go:build !race

package transient

const raceOn = false
