package main

import (
	"os"
	"testing"
)

// TestMain runs the commands in the steady tier unless a test asks otherwise:
// what they check does not depend on the tier, and it is a thousand times faster.
func TestMain(m *testing.M) {
	if _, set := os.LookupEnv("WALLSIFT_RUN_TIER"); !set {
		os.Setenv("WALLSIFT_RUN_TIER", "steady")
	}
	os.Exit(m.Run())
}
