package config

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
)

// Fingerprint returns a hash (SHA-256, hexadecimal) of everything in the
// effective configuration that can change a result. It does not depend on
// where values came from, nor on settings that say only where results go, how
// they are shown and how fast: input.batch_rows, run.workers,
// run.max_rejected_share, and all of output.
func (l *Loaded) Fingerprint() string {
	c := l.Config // maps are shared, but only read
	c.Input.BatchRows, c.Run.Workers, c.Run.MaxRejectedShare, c.Output = 0, 0, 0, Output{}
	// JSON sorts maps by key and prints floats in the shortest exact form.
	b, err := json.Marshal(&c)
	if err != nil {
		panic(fmt.Sprintf("config: fingerprint: %v", err)) // plain data and finite numbers always encode
	}
	sum := sha256.Sum256(append([]byte("wallsift configuration 1\n"), b...))
	return hex.EncodeToString(sum[:])
}
