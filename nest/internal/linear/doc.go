// Package linear solves the master problems of column generation:
//
//	maximise  gain·x   subject to   A x ≤ limit,   0 ≤ x ≤ upper
//
// The rows are known from the start and their limits are never negative, so
// that x = 0 is always allowed. The columns come one by one: solve, ask the
// rows for their prices, add the columns that those prices make attractive,
// and solve again. Each solve goes on from where the last one stopped.
//
//	program.go   what a program holds; adding and reading columns
//	simplex.go   the walk from basis to basis, with an essay on the method
//	leave.go     which variable makes room for one that enters
//	basis.go     the inverse of the basis: its updates, and how it is kept true
//
// The same calls give the same bits: nothing is random, and no map is walked.
package linear
