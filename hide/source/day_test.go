package source

import "testing"

func TestDay(t *testing.T) {
	for text, is := range map[string]bool{
		"2027-02-11": true, "1900-01-01": true, "2199-12-31": true,
		"1899-12-31": false, "2200-01-01": false, "0000-01-01": false, "9999-12-31": false,
		"2027-02-30": false, "11.2.2027": false, "": false,
	} {
		if day, ok := Day(text); ok != is || ok && day.Format("2006-01-02") != text {
			t.Errorf("%q: got %v, %v", text, day, ok)
		}
	}
}
