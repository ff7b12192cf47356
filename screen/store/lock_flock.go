//go:build darwin || dragonfly || freebsd || illumos || linux || netbsd || openbsd

package store

import (
	"os"
	"syscall"
)

// canLock says whether segments can be held, and so be told to be idle.
const canLock = true

// tryLock takes the lock of an open file, false when another has it. The lock
// ends with the file's last descriptor, so a killed process holds none.
func tryLock(f *os.File) bool {
	return syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB) == nil
}
