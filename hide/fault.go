package hide

import "fmt"

// Fault says which rule a Spec breaks, and where in it.
type Fault struct {
	Path string // of the value, as hide files name it: "flaws[2].area", counted from 0
	Rule string // what is wrong: "the outline crosses itself near (120, 44)"
	Hint string // what would mend it; may be empty
}

func (f *Fault) Error() string { return fmt.Sprintf("%s: %s", f.Path, f.Rule) }
