package report

import (
	"crypto/sha256"
	"encoding/hex"

	"strapwise/nest"
)

// Mark is the short name of a plan that all prints of it bear, so that paper is
// not cut by that belongs to another plan: the first eight digits of the SHA-256
// of plan.json, as sha256sum tells it too.
func Mark(p nest.Plan) string {
	sum := sha256.Sum256(p.Encode())
	return hex.EncodeToString(sum[:4])
}
