//go:build !unix

package store_test

import (
	"os/exec"
	"testing"
)

// ordinary is only told for systems with user ids and modes.
func ordinary(*testing.T, *exec.Cmd, string) bool { return false }
