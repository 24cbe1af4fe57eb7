package materials

import (
	"crypto/sha256"
	"encoding/hex"
	"sync"
)

// TableSum is the SHA-256 of the embedded table of foods in hexadecimal digits: two
// programs with the same sum have the same foods.
func TableSum() string { return tableSum() }

var tableSum = sync.OnceValue(func() string {
	sum := sha256.Sum256(embedded)
	return hex.EncodeToString(sum[:])
})
