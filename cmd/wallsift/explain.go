package main

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"wallsift/ingest"
	"wallsift/screen"
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
			walls, lost, err := find(cmd, src, id)
			if err != nil {
				return err
			}
			cases, err := suppositions(src, walls, s.facts, against)
			if err != nil {
				return usage(err)
			}
			tables, err := report.Explain(e, strategy, cases, min(len(s.facts), 1), lost)
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
	s.bind(cmd, map[string]string{"format": "output.format", "tier": "run.tier", "units": "output.units"})
	cmd.Flags().StringVar(&id, "building", "", "`ID` of the building")
	cmd.Flags().StringVar(&strategy, "strategy", "", "`id` of the strategy; the best one when not given")
	completeRows(cmd, "strategy", "strategies", "", 1)
	cmd.Flags().StringArrayVar(&against, "against", nil, "what if a fact were another, `building.NAME=VALUE`; repeat")
	return cmd
}

// suppositions are the rows as they are, the rows with the facts of --set changed,
// if there are any, and the rows with each of --against. A fact changes at every
// wall of a home.
func suppositions(src *ingest.Source, walls []ingest.Building, together, against []string) ([]report.Case, error) {
	out := []report.Case{{Walls: walls}}
	suppose := func(flag string, facts ...string) error {
		walls := slices.Clone(walls)
		var said []string
		for _, f := range facts {
			fact, known := strings.CutPrefix(f, factPrefix)
			name, value, ok := strings.Cut(fact, "=")
			if !known || !ok {
				return fmt.Errorf("%s %q: expected building.NAME=VALUE, such as building.a_w_kg_m2_s05=0.01", flag, f)
			}
			for i := range walls {
				b, err := src.Suppose(&walls[i], name, value)
				if err != nil {
					return fmt.Errorf("%s: %w", flag, err)
				}
				walls[i] = *b
			}
			said = append(said, strings.TrimSpace(name+" "+cmp.Or(strings.TrimSpace(value), "not given")))
		}
		out = append(out, report.Case{Walls: walls, Change: strings.Join(said, ", ")})
		return nil
	}
	var err error
	if len(together) > 0 {
		err = suppose("--set", together...)
	}
	for _, fact := range against {
		err = cmp.Or(err, suppose("--against", fact))
	}
	return out, err
}

// find reads until the building turns up, or to the end for the walls of a home,
// with how many of its walls were rejected.
func find(cmd *cobra.Command, src *ingest.Source, id string) (walls []ingest.Building, lost int, err error) {
	var names []string
	var rejected, unread *ingest.Reject // the row, the first file that was not read whole
	in := screen.NewIntake(src)
	for {
		batch, err := src.Next(cmd.Context())
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, 0, err
		}
		buildings, rejects := batch.Decode()
		counts, rejects := in.Take(buildings, rejects)
		for i := range buildings {
			switch b := &buildings[i]; {
			case !counts[i]:
			case b.Home == id:
				walls = append(walls, *b)
			case b.ID == id:
				return []ingest.Building{*b}, 0, nil
			case len(names) < 100000:
				names = append(names, b.ID)
			}
		}
		for i := range rejects {
			if r := &rejects[i]; r.Known == id {
				rejected = cmp.Or(rejected, r)
			} else if r.Whole {
				unread = cmp.Or(unread, r)
			}
		}
	}
	for _, h := range in.Homes() {
		if h.Home == id {
			lost = h.Lost
		}
	}
	near := ingest.Suggest(id, names)
	switch {
	case len(walls) > 0:
		return walls, lost, nil
	case rejected != nil:
		err = fmt.Errorf("building %q was rejected: %s", id, rejected)
	case near != "":
		err = fmt.Errorf("no building %q in the inventory; did you mean %q?", id, near)
	case unread != nil:
		err = fmt.Errorf("no building %q could be read; %s", id, unread)
	default:
		err = fmt.Errorf("no building %q in the inventory", id)
	}
	return nil, 0, usage(err)
}
