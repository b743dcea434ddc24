//go:build !amd64

package maxplus

var (
	greatest = greatestPlain
	lift     = liftPlain
	chain    = chainPlain
	repeat   = repeatPlain
	take     = takePlain
)
