//go:build unix

package store_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"syscall"
	"testing"
)

// ordinary lets a command run as a user that modes bind. Root gives it a user
// id of its own, and a copy of the test program that this user may start.
func ordinary(t *testing.T, cmd *exec.Cmd, dir string) bool {
	t.Helper()
	if os.Getuid() != 0 {
		return true
	}
	b, err := os.ReadFile(cmd.Path)
	if err != nil {
		t.Fatal(err)
	}
	cmd.Path = filepath.Join(dir, "program")
	if err := os.WriteFile(cmd.Path, b, 0o755); err != nil {
		t.Fatal(err)
	}
	cmd.Dir = "/"
	cmd.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
	return true
}
