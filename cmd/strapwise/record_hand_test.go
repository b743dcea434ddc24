package main

import (
	"encoding/json"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"strapwise/nest/rack"
	"strapwise/nest/record"
)

// acceptAll takes what a hand has changed for what it is: an accept that was undone
// leaves the files as they are, and the audit says so.
func (b *benchman) acceptAll() {
	out, _ := b.run(mayFail, "rack", "audit", "--json")
	var a rack.Audited
	if err := json.Unmarshal([]byte(out), &a); err != nil {
		b.t.Fatal(err)
	}
	for _, f := range a.Findings {
		if name, ok := strings.CutPrefix(f.Where, "hides/"); ok && !f.Note {
			b.run(done, "rack", "accept", strings.TrimSuffix(name, ".toml"))
			b.before = append(b.before, nil)
		}
	}
}

// known is a hide on the rack that the record has.
func (b *benchman) known() (name, file string, ok bool) {
	rack := b.rack()
	for _, f := range slices.Sorted(maps.Keys(rack)) {
		name = strings.TrimSuffix(f, ".toml")
		data, err := os.ReadFile(filepath.Join(b.dir, record.File))
		if err != nil {
			return "", "", false
		}
		j, err := record.Decode(record.File, data)
		if err != nil {
			b.t.Fatal(err)
		}
		l, err := j.Ledger()
		if err != nil {
			b.t.Fatal(err)
		}
		if h := l.Hide(name); h != nil && h.OnRack() && b.maybe(0.5) {
			return name, filepath.Join(b.dir, "hides", f), true
		}
	}
	return "", "", false
}

// changeFile writes a flaw into a hide's file, which the audit takes note of, or
// another cost, which it does not pass; accepted, it holds again.
func (b *benchman) changeFile() {
	name, file, ok := b.known()
	if !ok {
		return
	}
	data := string(readFile(b.t, file))
	if line := costLine(data); line != "" && b.maybe(0.5) {
		writeFile(b.t, file, strings.Replace(data, line, "cost = 7.77", 1))
		if out, code := b.run([]int{1}, "rack", "audit"); code != 1 || !strings.Contains(out, "its cost is 7.77") {
			b.t.Errorf("the audit says of another cost: %s", out)
		}
	} else {
		writeFile(b.t, file, data+"\n# seen again\n")
		b.run(done, "rack", "audit")
	}
	b.byHand()
	b.run(done, "rack", "accept", name)
	b.before = append(b.before, nil)
}

func costLine(data string) string {
	for _, line := range strings.Split(data, "\n") {
		if strings.HasPrefix(line, "cost = ") && line != "cost = 7.77" {
			return line
		}
	}
	return ""
}

// loseFile takes a file away, which the audit does not pass; accepted as gone, it
// holds again.
func (b *benchman) loseFile() {
	name, file, ok := b.known()
	if !ok {
		return
	}
	data := readFile(b.t, file)
	if err := os.Remove(file); err != nil {
		b.t.Fatal(err)
	}
	if out, code := b.run([]int{1}, "rack", "audit"); code != 1 || !strings.Contains(out, "its file is not there") {
		b.t.Errorf("the audit says of a lost file: %s", out)
	}
	if b.maybe(0.5) { // found again
		writeFile(b.t, file, string(data))
		return
	}
	b.byHand()
	b.run(done, "rack", "accept", name)
	b.before = append(b.before, nil)
}
