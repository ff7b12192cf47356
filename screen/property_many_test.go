//go:build slow

package screen_test

// manyfold multiplies the cases of the random properties in the long tests.
const manyfold = 3
