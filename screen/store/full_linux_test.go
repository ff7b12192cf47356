package store_test

import (
	"strings"
	"syscall"
	"testing"
)

// A disk that runs full: said once, what is in stays readable, nothing is left
// half-written.
func TestFullDisk(t *testing.T) {
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size=256k"); err != nil {
		t.Skip("no small disk can be mounted:", err)
	}
	t.Cleanup(func() { syscall.Unmount(dir, 0) })
	s := open(t, dir)
	for i := range 500 {
		s.Put(key(i), value(i))
	}
	if len(s.Notes()) != 1 || !strings.Contains(s.Notes()[0], "not kept any more: ") || !strings.Contains(s.Notes()[0], syscall.ENOSPC.Error()) {
		t.Fatalf("notes %q", s.Notes())
	}
	last := int(s.Counters().Written)
	if n := found(t, s, 500); n != last || len(records(t, dir)) != last || s.Counters().Damaged != 0 {
		t.Errorf("%d records, %d files, %d were put before the disk was full", n, len(records(t, dir)), last)
	}
}
