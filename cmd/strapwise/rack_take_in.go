package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"strapwise/hide"
	"strapwise/hide/intake"
	"strapwise/hide/source"
	"strapwise/nest/rack"
	"strapwise/nest/workshop"
)

func newTakeIn(u *ui) *cobra.Command {
	var m intake.Measures
	var from, on string
	c := &cobra.Command{
		Use:   "take-in NAME",
		Short: "put a new hide on the rack, and into the record",
		Long: `take-in writes the file of a new hide, hides/NAME.toml, and its line in the record.
What it is told comes from flags, or with --from from a hide file. A size, or tape
stations along the backbone edge, is what must be told besides leather and form. On a
terminal it asks for what is missing. Flaws and zones are written into the file, before
or after.`,
		Example: `  strapwise rack take-in ash-4 --leather bridle --form bend --size "52in x 26in" --cost 96.50
  strapwise rack take-in ash-4 --leather bridle --form bend --station 0in:21in --station 48in:23in
  strapwise rack take-in ash-4 --from ~/measured/ash-4.toml`,
		Args: oneHide,
		RunE: func(c *cobra.Command, args []string) error {
			date, err := u.entryDay(c.Context(), on)
			if err != nil {
				return err
			}
			if from == "" {
				return takeIn(c.Context(), u, args[0], m, date)
			}
			if m.Leather+m.Form+m.Size+m.Trim+m.Substance+m.Cost+m.Price+m.Area+m.Bought+m.Supplier+m.Grade != "" || len(m.Stations) > 0 {
				return &usage{"--from: found measures beside it, expected all of them in the file", ""}
			}
			text, err := source.ReadFile(from, from, source.Largest)
			if err != nil {
				return err
			}
			return u.change(c.Context(), func(r *rack.Rack) error { return u.takenIn(r, date, args[0], from, text) })
		},
	}
	f := c.Flags()
	f.StringVar(&from, "from", "", "a hide `file` to take it from, word for word")
	f.StringVar(&m.Leather, "leather", "", "one of the workshop's `leather`s")
	f.StringVar(&m.Form, "form", "", "its `form`: "+strings.Join(hide.Forms(), ", "))
	f.StringVar(&m.Size, "size", "", "its `size`, along the backbone and across, as \"52in x 26in\"")
	f.StringArrayVar(&m.Stations, "station", nil, "a tape reading `AT:TO`, or AT:FROM:TO, as 12in:24in (may be given again)")
	f.StringVar(&m.Trim, "trim", "", "a `length`: never cut nearer to the outline")
	f.StringVar(&m.Substance, "substance", "", "its `thickness`, as 3.8mm or 9oz")
	f.StringVar(&m.Cost, "cost", "", "what it cost, as 96.50 (`money`)")
	f.StringVar(&m.Price, "price", "", "or its `price`, as 7.20/sqft, with --area")
	f.StringVar(&m.Area, "area", "", "its `area` as sold, as \"13 3/4 sqft\"")
	f.StringVar(&m.Bought, "bought", "", "the `date` on which it was bought (default that of the entry)")
	f.StringVar(&m.Supplier, "supplier", "", "the `name` of who sold it")
	f.StringVar(&m.Grade, "grade", "", "the supplier's `grade`")
	dayFlag(c, &on)
	return c
}

// takeIn takes a hide in from measures, having asked for those that are missing.
func takeIn(ctx context.Context, u *ui, name string, m intake.Measures, on time.Time) error {
	shop, err := workshop.OpenRack(u.workshop)
	if err != nil {
		return err
	}
	if err := readings(m.Stations); err != nil {
		return err
	}
	if _, ok := source.Day(m.Bought); !ok && m.Bought != "" {
		return &usage{fmt.Sprintf("--bought: found %q, expected a date", m.Bought), "write 2027-03-01"}
	}
	if m.Bought == "" {
		m.Bought = on.Format(time.DateOnly)
	}
	if missing := questions(&m, shop); len(missing) > 0 {
		if !u.asks {
			return lacking(missing)
		}
		// Who types for minutes should not learn then that the name is taken.
		if err := u.change(ctx, func(r *rack.Rack) error { return r.MayBeNamed(name) }); err != nil {
			return err
		}
		if err := u.interview(shop, &m, append(missing, extras(&m)...)); err != nil {
			return err
		}
	}
	text := m.File("Taken in " + on.Format(time.DateOnly) + ".")
	return u.change(ctx, func(r *rack.Rack) error { return told(u.takenIn(r, on, name, "", text)) })
}

// takenIn takes a hide in and says so.
func (u *ui) takenIn(r *rack.Rack, on time.Time, name, from string, text []byte) error {
	if from == "" {
		from = workshop.HideFile(name)
	}
	h, err := r.TakeIn(on, name, from, text)
	if e, ok := source.As(err); ok && e.Path == "name" {
		return &usage{e.Rule, "write a name such as ash-4"}
	}
	if err != nil {
		return err
	}
	figures, err := inFigures(r.Shop, h)
	if err != nil {
		return err
	}
	if u.json {
		return u.value(figures)
	}
	u.table(hideRows(r.Shop, h, figures))
	u.note("wrote %s", workshop.HideFile(name))
	return nil
}

// flagHints are what would mend a flag where a hide file is written otherwise.
var flagHints = map[string]string{
	"size":    `write --size "52in x 26in"`,
	"station": "write --station 0in:21in --station 48in:23in",
	"price":   `write --price 7.20/sqft --area "13 3/4 sqft"`,
}

// told puts a mistake in the file that measures make into the words of the flags.
func told(err error) error {
	e, ok := source.As(err)
	if !ok || e.Path == "" {
		return err
	}
	flag := strings.FieldsFunc(e.Path, func(r rune) bool { return r == '.' || r == '[' })[0]
	flag = strings.Replace(flag, "stations", "station", 1)
	hint := e.Hint
	if flagHints[flag] != "" {
		hint = flagHints[flag]
	}
	return &usage{fmt.Sprintf("--%s: %s", flag, e.Rule), hint}
}

// readings refuses what is no tape reading.
func readings(stations []string) error {
	for _, s := range stations {
		if n := strings.Count(s, ":"); n < 1 || n > 2 {
			return &usage{fmt.Sprintf("--station: found %q, expected a tape reading AT:TO or AT:FROM:TO", s), flagHints["station"]}
		}
	}
	return nil
}

// question is a measure that can be asked for.
type question struct {
	flag   string
	ask    string
	answer func(m *intake.Measures, said string)
}

// questions are those for what a hide cannot do without.
func questions(m *intake.Measures, w *workshop.Workshop) []question {
	var out []question
	if m.Leather == "" {
		out = append(out, question{"leather", "which leather? (" + strings.Join(w.LeatherNames(), ", ") + ")", func(m *intake.Measures, s string) { m.Leather = s }})
	}
	if m.Form == "" {
		out = append(out, question{"form", "which form? (" + strings.Join(hide.Forms(), ", ") + ")", func(m *intake.Measures, s string) { m.Form = s }})
	}
	if m.Size == "" && len(m.Stations) == 0 {
		out = append(out, question{
			"size", "how large, along the backbone and across? (52in x 26in; or tape readings, AT:TO, AT:TO ...)",
			func(m *intake.Measures, s string) {
				if m.Size, m.Stations = s, nil; strings.Contains(s, ":") {
					m.Size, m.Stations = "", strings.Split(s, ",")
				}
			},
		})
	}
	return out
}

// extras are those for what it can do without.
func extras(m *intake.Measures) []question {
	var out []question
	add := func(is, flag, ask string, answer func(*intake.Measures, string)) {
		if is == "" {
			out = append(out, question{flag, ask + " (Enter: not told)", answer})
		}
	}
	add(m.Trim, "trim", "how near to its edge may be cut?", func(m *intake.Measures, s string) { m.Trim = s })
	add(m.Substance, "substance", "how thick?", func(m *intake.Measures, s string) { m.Substance = s })
	if m.Price == "" {
		add(m.Cost, "cost", "what did it cost?", func(m *intake.Measures, s string) { m.Cost = s })
	}
	add(m.Supplier, "supplier", "who sold it?", func(m *intake.Measures, s string) { m.Supplier = s })
	add(m.Grade, "grade", "of which grade?", func(m *intake.Measures, s string) { m.Grade = s })
	return out
}

// lacking is the error for what nobody can be asked for.
func lacking(missing []question) error {
	var flags []string
	for _, q := range missing {
		flags = append(flags, "--"+q.flag)
	}
	return &usage{"found no " + strings.Join(flags, ", no ") + ", expected what the hide is and how large", `write --leather bridle --form bend --size "52in x 26in"; on a terminal you are asked`}
}

// interview asks until each question has an answer that a hide file can hold.
func (u *ui) interview(w *workshop.Workshop, m *intake.Measures, ask []question) error {
	needed := len(questions(m, w))
	for i, q := range ask {
		for {
			said, ok := u.question(q.ask)
			if !ok && i < needed {
				return lacking(ask[i:needed])
			}
			if said == "" && i >= needed {
				break
			}
			if said == "" {
				u.note("found nothing, expected an answer: a hide cannot do without its %s", q.flag)
				continue
			}
			trial := *m
			trial.Stations = slices.Clone(m.Stations)
			q.answer(&trial, said)
			if err := sound(w, trial); err != nil {
				u.note("%s", told(err))
				if hint := hintOf(told(err)); hint != "" {
					u.note("hint: %s", hint)
				}
				continue
			}
			*m = trial
			break
		}
	}
	return nil
}

// sound tells whether a hide file can hold what is told so far, were the rest told
// rightly.
func sound(w *workshop.Workshop, m intake.Measures) error {
	if err := readings(m.Stations); err != nil {
		return err
	}
	if m.Leather == "" {
		m.Leather = first(w.LeatherNames())
	}
	if m.Form == "" {
		m.Form = hide.Forms()[0]
	}
	if m.Size == "" && len(m.Stations) == 0 {
		m.Size = "1m x 1m"
	}
	_, err := w.Hide("", m.File(""), "a")
	return err
}
