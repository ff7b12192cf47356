package main

import (
	"context"
	"os"
	"testing"
)

// asCommand makes the test program be the command itself, for scripts to start.
const asCommand = "TEST_AS_COMMAND"

// TestMain runs the commands in the steady tier unless a test asks otherwise:
// what they check does not depend on the tier, and it is a thousand times faster.
func TestMain(m *testing.M) {
	if os.Getenv(asCommand) != "" {
		os.Exit(run(context.Background(), os.Args[1:]))
	}
	if _, set := os.LookupEnv("WALLSIFT_RUN_TIER"); !set {
		os.Setenv("WALLSIFT_RUN_TIER", "steady")
	}
	os.Exit(m.Run())
}
