package workshop

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"

	"strapwise/hide"
	"strapwise/nest"
)

// With gives the workshop as it is once the file of a hide has that content,
// which makes it that hide.
func (w *Workshop) With(h *hide.Hide, data []byte) *Workshop {
	out := *w
	out.Hides, out.Inputs = slices.Clone(w.Hides), slices.Clone(w.Inputs)
	for i := range out.Hides {
		if out.Hides[i].Name() == h.Name() {
			out.Hides[i] = h
		}
	}
	sum := sha256.Sum256(data)
	for i := range out.Inputs {
		if out.Inputs[i].File == HideFile(h.Name()) {
			out.Inputs[i] = nest.Input{File: out.Inputs[i].File, SHA256: hex.EncodeToString(sum[:])}
		}
	}
	return &out
}
