package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/ingest"
	"wallsift/screen/report"
)

func newExplain() *cobra.Command {
	var s shared
	var id, strategy string
	var against []string
	cmd := &cobra.Command{
		Use:   "explain INVENTORY... --building ID",
		Short: "Show the whole working for one building",
		Long: "Shows layers, resistances and s_d values, the year of condensation, and every indicator with\n" +
			"its formula, its numbers and its source, for one building under its best or a named strategy.\n\n" +
			"--set building.NAME=VALUE explains the building as if a fact were another, by the name of the\n" +
			"column with its unit; repeat it to change several together. Each --against building.NAME=VALUE is\n" +
			"a what-if of its own. A table sets them beside the row as it is. The inventory is not changed.\n\n" + report.Caution,
		Example: "  wallsift explain testdata/demo.csv --building HX-0001 --strategy drained_cavity\n" +
			"  wallsift explain testdata/demo.csv --building HX-0343 --set building.a_w_kg_m2_s05=0.01 --against building.timber_state=sound",
		Args: needInventory,
		RunE: func(cmd *cobra.Command, args []string) error {
			if id == "" {
				return usage(fmt.Errorf("no building named; give its id with --building, as in the column building_id of %s", report.RankingCSV))
			}
			l, e, err := s.engine(cmd)
			if err != nil {
				return err
			}
			src, err := ingest.Open(args, e.InputOptions())
			if err != nil {
				return usage(err)
			}
			defer src.Close()
			b, err := find(cmd, src, id)
			if err != nil {
				return err
			}
			cases, err := suppositions(src, b, s.facts, against)
			if err != nil {
				return usage(err)
			}
			tables, err := report.Explain(e, strategy, cases, min(len(s.facts), 1))
			if err != nil {
				return usage(err)
			}
			if err := report.Print(os.Stdout, tables, l.Config.Output.Format, terminalWidth()); err != nil {
				return err
			}
			fmt.Fprintln(os.Stderr, report.Wrap(report.Caution+" "+report.TierCaution(l.Config.Run.Tier), terminalWidth()))
			return nil
		},
	}
	s.bind(cmd, withoutOutput())
	cmd.Flags().StringVar(&id, "building", "", "`ID` of the building")
	cmd.Flags().StringVar(&strategy, "strategy", "", "`id` of the strategy; the best one when not given")
	cmd.Flags().StringArrayVar(&against, "against", nil, "what if a fact were another, `building.NAME=VALUE`; repeat")
	return cmd
}

// suppositions are the row as it is, the row with the facts of --set changed, if
// there are any, and the row with each of --against.
func suppositions(src *ingest.Source, b *ingest.Building, together, against []string) ([]report.Case, error) {
	out := []report.Case{{Building: b}}
	suppose := func(flag string, facts ...string) error {
		c := report.Case{Building: b}
		var said []string
		for _, f := range facts {
			name, value, ok := strings.Cut(f, "=")
			if !ok {
				return fmt.Errorf("%s %q: expected building.NAME=VALUE, such as building.a_w_kg_m2_s05=0.01", flag, f)
			}
			var err error
			if c.Building, err = src.Suppose(c.Building, name, value); err != nil {
				return fmt.Errorf("%s: %w", flag, err)
			}
			said = append(said, strings.TrimSpace(name+" "+cmp.Or(strings.TrimSpace(value), "not given")))
		}
		c.Change = strings.Join(said, ", ")
		out = append(out, c)
		return nil
	}
	if len(together) > 0 {
		if err := suppose("--set", together...); err != nil {
			return nil, err
		}
	}
	for _, kv := range against {
		fact, ok := strings.CutPrefix(kv, factPrefix)
		if !ok {
			return nil, fmt.Errorf("--against %q: expected building.NAME=VALUE, such as building.a_w_kg_m2_s05=0.01", kv)
		}
		if err := suppose("--against", fact); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// find reads until the building turns up.
func find(cmd *cobra.Command, src *ingest.Source, id string) (*ingest.Building, error) {
	var refused []ingest.Reject
	near, names := "", []string{}
	for {
		batch, err := src.NextOrDone(cmd.Context())
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		buildings, rejects := batch.Decode()
		for i := range buildings {
			if buildings[i].ID == id {
				return &buildings[i], nil
			}
			if len(names) < 100000 {
				names = append(names, buildings[i].ID)
			}
		}
		for _, r := range rejects {
			if r.Known == id || r.Whole {
				refused = append(refused, r)
			}
		}
	}
	for _, r := range refused {
		if r.Known == id {
			return nil, usage(fmt.Errorf("building %q was rejected: %s line %d, column %s %q: %s; %s", id, r.File, r.Line, r.Column, r.Value, r.Reason, r.Fix))
		}
	}
	if near = ingest.Suggest(id, names); near != "" {
		return nil, usage(fmt.Errorf("no building %q in the inventory; did you mean %q?", id, near))
	}
	if len(refused) > 0 {
		r := refused[0]
		return nil, usage(fmt.Errorf("no building %q could be read; %s: %s; %s", id, r.File, r.Reason, r.Fix))
	}
	return nil, usage(fmt.Errorf("no building %q in the inventory", id))
}
