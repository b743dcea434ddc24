package source

import "time"

// The years in which anything of a workshop can happen: outside of them lies a slip of
// the keyboard.
const firstYear, lastYear = 1900, 2199

// Day reads a date such as 2027-02-11, and reports false for what is none.
func Day(text string) (time.Time, bool) {
	t, err := time.Parse(time.DateOnly, text)
	return t, err == nil && IsDay(t)
}

// IsDay reports whether a date is one on which anything of a workshop can happen.
func IsDay(t time.Time) bool { return t.Year() >= firstYear && t.Year() <= lastYear }
