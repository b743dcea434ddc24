package workshop_test

import (
	"fmt"
	"os"
	"path/filepath"

	"strapwise/nest/workshop"
)

func ExampleOpen() {
	dir, err := os.MkdirTemp("", "workshop")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	// An invented workshop.
	files := map[string]string{
		"workshop.toml":    "units = \"in\"\n[leathers.bridle-tan]\nsubstance = \"3.8mm\"\n",
		"orders.csv":       "order,qty,pattern,width,size,leather\nA12,3,flat,1in,16in,bridle-tan\n",
		"hides/ash-3.toml": "leather = \"bridle-tan\"\nform = \"bend\"\nsize = [\"52in\", \"26in\"]\n",
	}
	if err := os.Mkdir(filepath.Join(dir, "hides"), 0o777); err != nil {
		panic(err)
	}
	for name, text := range files {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666); err != nil {
			panic(err)
		}
	}

	w, err := workshop.Open(dir)
	if err != nil {
		panic(err)
	}
	job, err := w.Job("ash-3")
	if err != nil {
		panic(err)
	}
	for _, o := range job.Orders {
		for _, p := range o.Parts {
			fmt.Printf("%s: %d %s, %s long, %s wide\n", o.ID, o.Qty*p.Count, p.Name, w.Rule.Length(p.Length), w.Rule.Length(p.Width))
		}
	}
	fmt.Println("hides:", len(job.Hides))
	// Output:
	// A12: 3 main, 22 1/4 in long, 1 in wide
	// A12: 3 keeper, 3 3/32 in long, 1/2 in wide
	// hides: 1
}
