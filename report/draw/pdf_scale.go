package draw

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
)

// asItIs asks those who print not to fit the pages to the paper, unless a person says
// otherwise (ISO 32000-1, 12.2), with the version of the format that first had such
// words.
const asItIs = "\n/Version /1.6\n/ViewerPreferences <</PrintScaling /None>>"

// trueSize has a document say asItIs, which the library has no words for. The catalog
// is the last of its objects, so that only the table after it moves.
func trueSize(document []byte) ([]byte, error) {
	const catalog, where = "\n/Type /Catalog", "\nstartxref\n"
	at, table := bytes.LastIndex(document, []byte(catalog)), bytes.LastIndex(document, []byte(where))
	if at < 0 || table < at {
		return nil, errors.New("found no catalog before the end of the document, expected one")
	}
	at += len(catalog)
	digits, _, _ := bytes.Cut(document[table+len(where):], []byte("\n"))
	n, err := strconv.Atoi(string(digits))
	if err != nil {
		return nil, fmt.Errorf("found the table of objects at %q, expected a number", digits)
	}
	var out bytes.Buffer
	out.Write(document[:at])
	out.WriteString(asItIs)
	out.Write(document[at : table+len(where)])
	fmt.Fprintf(&out, "%d\n%%%%EOF\n", n+len(asItIs))
	return out.Bytes(), nil
}
